//! Reads the triangles of a glTF or GLB file, its buffers inside the file or beside it.
//!
//! The `gltf` crate parses and validates the document; the numbers are fetched here, bounds checked, because a file
//! from anywhere may lie about its lengths. Must never know of scenes.

use std::path::Path;

use glam::{DMat4, DVec3};
use gltf::{
    Accessor, Gltf, Primitive, Semantic,
    accessor::{DataType, Dimensions},
    buffer::Source,
    mesh::Mode,
};

use super::mesh_file::{Gathered, MOST_TRIANGLES, MeshError, bytes_of};

/// Nodes within nodes beyond this are a loop.
const DEEPEST: usize = 64;
/// More nodes than this no boat has; a loop of nodes may pretend to.
const MOST_NODES: usize = 100_000;

pub(super) fn read(bytes: &[u8], folder: &Path, gathered: &mut Gathered) -> Result<(), MeshError> {
    let file = Gltf::from_slice(bytes).map_err(|error| gathered.damaged(error))?;
    let buffers = buffers(&file, folder, gathered)?;
    let scene = file.default_scene().or_else(|| file.scenes().next());
    let roots: Vec<_> = match &scene {
        Some(scene) => scene.nodes().collect(),
        None => file.nodes().collect(),
    };
    let mut waiting: Vec<_> = roots.into_iter().map(|node| (node, DMat4::IDENTITY, 0)).collect();
    let mut seen = 0;
    while let Some((node, around, depth)) = waiting.pop() {
        seen += 1;
        if depth > DEEPEST || seen > MOST_NODES {
            return Err(gathered.damaged("its nodes are nested without end"));
        }
        let own = DMat4::from_cols_array_2d(&node.transform().matrix().map(|column| column.map(f64::from)));
        let placed = around * own;
        for primitive in node.mesh().iter().flat_map(gltf::Mesh::primitives) {
            add_primitive(&primitive, &placed, &buffers, gathered)?;
        }
        waiting.extend(node.children().map(|child| (child, placed, depth + 1)));
    }
    Ok(())
}

fn buffers(file: &Gltf, folder: &Path, gathered: &Gathered) -> Result<Vec<Vec<u8>>, MeshError> {
    let fetched = file.buffers().map(|buffer| match buffer.source() {
        Source::Bin => file.blob.clone().ok_or_else(|| gathered.damaged("its binary part is missing")),
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
    let points = points(&positions, buffers, gathered)?;
    let indices = match primitive.indices() {
        Some(accessor) => indices(&accessor, buffers, gathered)?,
        None => (0..points.len()).collect(),
    };
    let count = if primitive.mode() == Mode::Triangles { indices.len() / 3 } else { indices.len().saturating_sub(2) };
    let mirrored = placed.determinant() < 0.0;
    for [a, b, c] in (0..count).map(triples) {
        let corner =
            |n: usize| indices.get(n).and_then(|index| points.get(*index)).map(|p| placed.transform_point3(*p));
        let [Some(a), Some(b), Some(c)] = [a, b, c].map(corner) else {
            return Err(gathered.damaged("a triangle names a corner that is not there"));
        };
        gathered.add(if mirrored { [a, c, b] } else { [a, b, c] })?;
    }
    Ok(())
}

fn points(accessor: &Accessor, buffers: &[Vec<u8>], gathered: &Gathered) -> Result<Vec<DVec3>, MeshError> {
    if (accessor.data_type(), accessor.dimensions()) != (DataType::F32, Dimensions::Vec3) {
        return Err(gathered.damaged("its corners are not three plain numbers each"));
    }
    let read = |item: &[u8]| {
        let number =
            |n: usize| item.get(4 * n..4 * n + 4).and_then(|bytes| bytes.try_into().ok()).map(f32::from_le_bytes);
        Some(DVec3::new(number(0)?.into(), number(1)?.into(), number(2)?.into()))
    };
    items(accessor, 12, buffers, gathered)?.map(read).collect::<Option<_>>().ok_or_else(|| short(gathered))
}

fn indices(accessor: &Accessor, buffers: &[Vec<u8>], gathered: &Gathered) -> Result<Vec<usize>, MeshError> {
    let size = match (accessor.data_type(), accessor.dimensions()) {
        (DataType::U8, Dimensions::Scalar) => 1,
        (DataType::U16, Dimensions::Scalar) => 2,
        (DataType::U32, Dimensions::Scalar) => 4,
        _ => return Err(gathered.damaged("its triangles are not named by whole numbers")),
    };
    let read = |item: &[u8]| item.iter().rev().fold(0, |index, byte| index << 8 | usize::from(*byte));
    Ok(items(accessor, size, buffers, gathered)?.map(read).collect())
}

/// The bytes of each item of an accessor, `size` bytes each.
fn items<'b>(
    accessor: &Accessor,
    size: usize,
    buffers: &'b [Vec<u8>],
    gathered: &Gathered,
) -> Result<impl Iterator<Item = &'b [u8]> + use<'b>, MeshError> {
    let (None, Some(view)) = (accessor.sparse(), accessor.view()) else {
        let mend = "export it without sparse or compressed geometry";
        return Err(gathered.error("keeps its numbers in a way that is not read", mend));
    };
    let stride = view.stride().unwrap_or(size).max(1);
    let count = accessor.count();
    if count > 3 * MOST_TRIANGLES {
        return Err(gathered.error("has more than two million triangles", "reduce the mesh before exporting it"));
    }
    let whole = || -> Option<&'b [u8]> {
        let buffer = buffers.get(view.buffer().index())?;
        let bytes = buffer.get(view.offset()..view.offset().checked_add(view.length())?)?;
        let length = count.checked_sub(1)?.checked_mul(stride)?.checked_add(size)?;
        bytes.get(accessor.offset()..accessor.offset().checked_add(length)?)
    };
    let bytes = match whole() {
        Some(bytes) => bytes,
        None if count == 0 => &[],
        None => return Err(short(gathered)),
    };
    Ok((0..count).filter_map(move |n| bytes.get(n * stride..n * stride + size)))
}

fn short(gathered: &Gathered) -> MeshError {
    gathered.damaged("a buffer is shorter than it is said to be")
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
