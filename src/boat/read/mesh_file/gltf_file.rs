//! Reads the triangles of a glTF or GLB file, its buffers inside the file or beside it, with the names of its nodes.
//!
//! The `gltf` crate parses and validates the document; the numbers are fetched here, bounds checked, because a file
//! from anywhere may lie about its lengths. Must never know of scenes.

use std::{
    io::{self, Read},
    path::Path,
};

use glam::{DMat4, DVec3};
use gltf::{
    Accessor, Gltf, Node, Primitive, Semantic,
    accessor::{DataType, Dimensions},
    buffer::Source,
    mesh::Mode,
};

use super::{MOST_TRIANGLES, MeshError, bytes_of, gather::Gathered};

/// Bytes before the first part of a GLB file.
const GLB_HEAD: u64 = 12;
/// Nodes within nodes beyond this are a loop.
const DEEPEST: usize = 64;
/// More nodes than this no boat has; a loop of nodes may pretend to.
const MOST_NODES: usize = 1_000_000;

pub(super) fn read(file: impl Read, folder: &Path, gathered: &mut Gathered) -> Result<(), MeshError> {
    let (json, own) = parts(file).map_err(|error| gathered.damaged(error))?;
    let file = Gltf::from_slice(&json).map_err(|error| gathered.damaged(error))?;
    let buffers = buffers(&file, own, folder, gathered)?;
    let scene = file.default_scene().or_else(|| file.scenes().next());
    let mut waiting: Vec<Waiting> = match &scene {
        Some(scene) => scene.nodes().map(Waiting::root).collect(),
        None => file.nodes().map(Waiting::root).collect(),
    };
    // The last is taken first.
    waiting.reverse();
    let mut seen = 0;
    while let Some(Waiting { node, around, called, depth }) = waiting.pop() {
        seen += 1;
        if depth > DEEPEST || seen > MOST_NODES {
            return Err(gathered.damaged("its nodes are nested without end"));
        }
        let own = DMat4::from_cols_array_2d(&node.transform().matrix().map(|column| column.map(f64::from)));
        let placed = around * own;
        // Whoever made the file names a thing by its node; the shape in it often has a name that nobody chose.
        let called = node.name().filter(|name| !name.trim().is_empty()).or(called);
        if let Some(mesh) = node.mesh() {
            gathered.begin(called.or(mesh.name()));
            for primitive in mesh.primitives() {
                add_primitive(&primitive, &placed, &buffers, gathered)?;
            }
        }
        let below: Vec<_> =
            node.children().map(|node| Waiting { node, around: placed, called, depth: depth + 1 }).collect();
        waiting.extend(below.into_iter().rev());
    }
    Ok(())
}

/// The JSON of a file and, in a GLB file (glTF 2.0 section 4.4), its binary part.
fn parts(mut file: impl Read) -> io::Result<(Vec<u8>, Option<Vec<u8>>)> {
    let mut head = Vec::new();
    (&mut file).take(GLB_HEAD).read_to_end(&mut head)?;
    if !head.starts_with(b"glTF") {
        file.read_to_end(&mut head)?;
        return Ok((head, None));
    }
    if head.get(4..8) != Some(&2u32.to_le_bytes()) {
        return Err(io::Error::other("it is of another version than glTF 2.0"));
    }
    match chunk(&mut file)? {
        Some((kind, json)) if &kind == b"JSON" => {
            let own = chunk(&mut file)?.filter(|(kind, _)| kind == b"BIN\0");
            Ok((json, own.map(|(_, bytes)| bytes)))
        }
        _ => Err(io::Error::other("it does not begin with its JSON part")),
    }
}

/// The next part of a GLB file with its kind; `None` at the end.
fn chunk(file: &mut impl Read) -> io::Result<Option<([u8; 4], Vec<u8>)>> {
    let mut head = Vec::new();
    file.take(8).read_to_end(&mut head)?;
    let Some((length, kind)) = head.split_first_chunk().and_then(|(length, kind)| Some((length, kind.first_chunk()?)))
    else {
        return Ok(None);
    };
    let length = u64::from(u32::from_le_bytes(*length));
    let mut bytes = Vec::new();
    // What it says of its length may be a lie, so room is made for no more than what comes.
    file.take(length).read_to_end(&mut bytes)?;
    if u64::try_from(bytes.len()).is_ok_and(|taken| taken == length) {
        Ok(Some((*kind, bytes)))
    } else {
        Err(io::ErrorKind::UnexpectedEof.into())
    }
}

/// A node still to be looked at.
struct Waiting<'f> {
    node: Node<'f>,
    /// The frame that it lies in.
    around: DMat4,
    /// The name of the nearest node around it that has one.
    called: Option<&'f str>,
    depth: usize,
}

impl<'f> Waiting<'f> {
    fn root(node: Node<'f>) -> Self {
        Self { node, around: DMat4::IDENTITY, called: None, depth: 0 }
    }
}

fn buffers(
    file: &Gltf,
    mut own: Option<Vec<u8>>,
    folder: &Path,
    gathered: &Gathered,
) -> Result<Vec<Vec<u8>>, MeshError> {
    let fetched = file.buffers().map(|buffer| match buffer.source() {
        // There is at most one of these, the first.
        Source::Bin => own.take().ok_or_else(|| gathered.damaged("its binary part is missing")),
        Source::Uri(uri) if uri.starts_with("data:") => {
            let coded = uri.split_once(";base64,").map(|(_, coded)| coded);
            coded.and_then(from_base64).ok_or_else(|| gathered.damaged("a buffer inside it is not sound base64"))
        }
        Source::Uri(uri) => {
            let name = plain_name(uri);
            bytes_of(&folder.join(&name), &name)
        }
    });
    fetched.collect()
}

fn add_primitive(
    primitive: &Primitive,
    placed: &DMat4,
    buffers: &[Vec<u8>],
    gathered: &mut Gathered,
) -> Result<(), MeshError> {
    let triples: fn(usize) -> [usize; 3] = match primitive.mode() {
        Mode::Triangles => |n| [3 * n, 3 * n + 1, 3 * n + 2],
        // Every second triangle of a strip is wound the other way.
        Mode::TriangleStrip => |n| if n % 2 == 0 { [n, n + 1, n + 2] } else { [n + 1, n, n + 2] },
        Mode::TriangleFan => |n| [0, n + 1, n + 2],
        _ => return Ok(()),
    };
    let Some(positions) = primitive.get(&Semantic::Positions) else { return Ok(()) };
    if (positions.data_type(), positions.dimensions()) != (DataType::F32, Dimensions::Vec3) {
        return Err(gathered.damaged("its corners are not three plain numbers each"));
    }
    let points = Column::of(&positions, 12, buffers, gathered)?;
    let indices = primitive.indices().map(|accessor| indices(&accessor, buffers, gathered)).transpose()?;
    let corners = indices.as_ref().map_or(points.count, |indices| indices.count);
    let count = if primitive.mode() == Mode::Triangles { corners / 3 } else { corners.saturating_sub(2) };
    gathered.expect(count);
    let mirrored = placed.determinant() < 0.0;
    for [a, b, c] in (0..count).map(triples) {
        let corner = |n: usize| {
            let index = indices.as_ref().map_or(Some(n), |indices| indices.item(n).map(whole))?;
            Some(placed.transform_point3(point(points.item(index)?)?))
        };
        let [Some(a), Some(b), Some(c)] = [a, b, c].map(corner) else {
            return Err(gathered.damaged("a triangle names a corner that is not there"));
        };
        gathered.add(if mirrored { [a, c, b] } else { [a, b, c] })?;
    }
    Ok(())
}

fn point(item: &[u8]) -> Option<DVec3> {
    let number = |n: usize| item.get(4 * n..4 * n + 4).and_then(|bytes| bytes.try_into().ok()).map(f32::from_le_bytes);
    Some(DVec3::new(number(0)?.into(), number(1)?.into(), number(2)?.into()))
}

fn whole(item: &[u8]) -> usize {
    item.iter().rev().fold(0, |index, byte| index << 8 | usize::from(*byte))
}

fn indices<'b>(accessor: &Accessor, buffers: &'b [Vec<u8>], gathered: &Gathered) -> Result<Column<'b>, MeshError> {
    let size = match (accessor.data_type(), accessor.dimensions()) {
        (DataType::U8, Dimensions::Scalar) => 1,
        (DataType::U16, Dimensions::Scalar) => 2,
        (DataType::U32, Dimensions::Scalar) => 4,
        _ => return Err(gathered.damaged("its triangles are not named by whole numbers")),
    };
    Column::of(accessor, size, buffers, gathered)
}

/// The items of an accessor where they lie in their buffer.
struct Column<'b> {
    bytes: &'b [u8],
    stride: usize,
    /// Bytes of one item.
    size: usize,
    count: usize,
}

impl<'b> Column<'b> {
    fn of(accessor: &Accessor, size: usize, buffers: &'b [Vec<u8>], gathered: &Gathered) -> Result<Self, MeshError> {
        let (None, Some(view)) = (accessor.sparse(), accessor.view()) else {
            let mend = "export it without sparse or compressed geometry";
            return Err(gathered.error("keeps its numbers in a way that is not read", mend));
        };
        let stride = view.stride().unwrap_or(size).max(1);
        let count = accessor.count();
        if count > 3 * MOST_TRIANGLES {
            return Err(gathered.too_many());
        }
        let whole = || -> Option<&'b [u8]> {
            let buffer = buffers.get(view.buffer().index())?;
            let bytes = buffer.get(view.offset()..view.offset().checked_add(view.length())?)?;
            let length = count.checked_sub(1)?.checked_mul(stride)?.checked_add(size)?;
            bytes.get(accessor.offset()..accessor.offset().checked_add(length)?)
        };
        match whole() {
            Some(bytes) => Ok(Self { bytes, stride, size, count }),
            None if count == 0 => Ok(Self { bytes: &[], stride, size, count }),
            None => Err(gathered.damaged("a buffer is shorter than it is said to be")),
        }
    }

    fn item(&self, n: usize) -> Option<&'b [u8]> {
        let start = n.checked_mul(self.stride)?;
        self.bytes.get(start..start.checked_add(self.size)?)
    }
}

/// The name in an address, its `%20` and the like made plain.
fn plain_name(uri: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = uri.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        let digits = after.get(..2).and_then(|digits| std::str::from_utf8(digits).ok());
        match digits.filter(|_| *first == b'%').and_then(|digits| u8::from_str_radix(digits, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = &after[2..];
            }
            None => {
                bytes.push(*first);
                rest = after;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Bytes from base64 (RFC 4648 section 4); `None` when it is none.
fn from_base64(coded: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(coded.len() / 4 * 3);
    let (mut held, mut bits) = (0u32, 0);
    for letter in coded.trim_end_matches('=').bytes() {
        let value = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => return None,
        };
        held = held << 6 | u32::from(value);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from(held >> bits & 0xff).ok()?);
        }
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648 section 10.
    #[test]
    fn base64_is_read_as_rfc_4648_writes_it() {
        for (coded, plain) in [("", ""), ("Zg==", "f"), ("Zm8=", "fo"), ("Zm9v", "foo"), ("Zm9vYmFy", "foobar")] {
            assert_eq!(from_base64(coded).as_deref(), Some(plain.as_bytes()));
        }
        assert_eq!(from_base64("Z!"), None);
    }

    #[test]
    fn names_with_blanks_are_made_plain() {
        assert_eq!(plain_name("my%20hull%C3%A9.bin"), "my hullé.bin");
        assert_eq!(plain_name("100%"), "100%");
    }
}
