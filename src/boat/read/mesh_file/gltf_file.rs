//! Reads the triangles of a glTF or GLB file, its buffers inside the file or beside it, with the names of its nodes.
//!
//! The `gltf` crate parses and validates the document; the numbers are fetched here, bounds checked, because a file
//! from anywhere may lie about its lengths. Must never know of scenes.

use std::{
    collections::{HashMap, HashSet},
    io::{self, Read},
    path::{Component, Path},
    sync::Arc,
};

use glam::{DMat4, DVec3};
use gltf::{
    Accessor, Gltf, Node, Primitive, Semantic,
    accessor::{DataType, Dimensions},
    buffer::Source,
    mesh::Mode,
};

use super::{
    LARGEST_FILE, MOST_TRIANGLES, MeshError, bytes_of,
    gather::{Gathered, harmless},
};

/// Bytes before the first part of a GLB file.
const GLB_HEAD: u64 = 12;
/// Bytes of the JSON part of a file beyond which it is no description of a boat.
const LARGEST_JSON: u64 = 64 << 20;
/// Bytes of all buffers together.
const LARGEST_BUFFERS: u64 = LARGEST_FILE;
/// Primitives looked at, be they ever so empty.
const MOST_PRIMITIVES: usize = MOST_TRIANGLES;

pub(super) fn read(file: impl Read, folder: &Path, gathered: &mut Gathered) -> Result<(), MeshError> {
    let (json, own) = parts(file).map_err(|error| gathered.damaged(error))?;
    let file = document(&json, gathered)?;
    let buffers = buffers(&file, own, folder, gathered)?;
    let scene = file.default_scene().or_else(|| file.scenes().next());
    let roots: Vec<Node> = match &scene {
        Some(scene) => scene.nodes().collect(),
        None => roots(&file),
    };
    let mut primitives = 0;
    let mut met = vec![false; file.nodes().len()];
    let mut waiting: Vec<Waiting> = Vec::new();
    await_all(roots.into_iter().map(Waiting::root), &mut waiting, &mut met, gathered)?;
    while let Some(Waiting { node, around, called }) = waiting.pop() {
        let own = DMat4::from_cols_array_2d(&node.transform().matrix().map(|column| column.map(f64::from)));
        let placed = around * own;
        // Whoever made the file names a thing by its node; the shape in it often has a name that nobody chose.
        let called = node.name().filter(|name| !name.trim().is_empty()).or(called);
        if let Some(mesh) = node.mesh() {
            gathered.begin(called.or(mesh.name()));
            for primitive in mesh.primitives() {
                primitives += 1;
                if primitives > MOST_PRIMITIVES {
                    return Err(gathered.too_many());
                }
                add_primitive(&primitive, &placed, &buffers, gathered)?;
            }
        }
        let below = node.children().map(|node| Waiting { node, around: placed, called });
        await_all(below, &mut waiting, &mut met, gathered)?;
    }
    Ok(())
}

/// The document, sound but for the extensions that it says it needs: those of materials have no bearing on shadows.
fn document(json: &[u8], gathered: &Gathered) -> Result<Gltf, MeshError> {
    let mut root: gltf::json::Root =
        gltf::json::deserialize::from_slice(json).map_err(|error| gathered.damaged(error))?;
    for extension in std::mem::take(&mut root.extensions_required) {
        let mend = match extension.as_str() {
            "KHR_draco_mesh_compression" => "export it again without Draco compression",
            "EXT_meshopt_compression" | "KHR_meshopt_compression" => "export it again without meshopt compression",
            "KHR_mesh_quantization" => "export it again without quantisation, with its corners as plain numbers",
            other if of_looks_alone(other) => continue,
            _ => "export it again as plain glTF 2.0, without extensions",
        };
        let wrong = format!("needs the extension {}, which is not read", harmless(&extension));
        return Err(gathered.error(&wrong, mend));
    }
    let document = gltf::Document::from_json(root).map_err(|error| gathered.damaged(error))?;
    Ok(Gltf { document, blob: None })
}

/// Whether an extension says only how a surface looks, or what stands beside it.
fn of_looks_alone(extension: &str) -> bool {
    extension.starts_with("KHR_materials_")
        || extension.starts_with("KHR_texture_")
        || extension.starts_with("EXT_texture_")
        || extension.starts_with("MSFT_texture_")
        || extension.starts_with("EXT_materials_")
        || ["KHR_lights_punctual", "EXT_lights_image_based", "KHR_xmp_json_ld", "KHR_animation_pointer"]
            .contains(&extension)
}

/// The nodes that lie in no other.
fn roots(file: &Gltf) -> Vec<Node<'_>> {
    let mut within = vec![false; file.nodes().len()];
    for child in file.nodes().flat_map(|node| node.children()) {
        if let Some(within) = within.get_mut(child.index()) {
            *within = true;
        }
    }
    file.nodes().filter(|node| !within.get(node.index()).is_some_and(|within| *within)).collect()
}

/// Puts nodes before those that wait. Nodes are a tree (glTF 2.0 section 3.5.2): one that is met again is a fault, and
/// so none goes round in a ring.
fn await_all<'f>(
    nodes: impl Iterator<Item = Waiting<'f>>,
    waiting: &mut Vec<Waiting<'f>>,
    met: &mut [bool],
    gathered: &Gathered,
) -> Result<(), MeshError> {
    let first = waiting.len();
    for next in nodes {
        match met.get_mut(next.node.index()) {
            Some(met) if !*met => *met = true,
            _ => return Err(gathered.damaged("a node lies in itself or in two others")),
        }
        waiting.push(next);
    }
    // The last is taken first.
    waiting[first..].reverse();
    Ok(())
}

/// The JSON of a file and, in a GLB file (glTF 2.0 section 4.4), its binary part.
fn parts(mut file: impl Read) -> io::Result<(Vec<u8>, Option<Vec<u8>>)> {
    let mut head = Vec::new();
    (&mut file).take(GLB_HEAD).read_to_end(&mut head)?;
    if !head.starts_with(b"glTF") {
        file.take(LARGEST_JSON + 1).read_to_end(&mut head)?;
        return if head.len() as u64 > LARGEST_JSON { Err(too_much_json()) } else { Ok((head, None)) };
    }
    if head.get(4..8) != Some(&2u32.to_le_bytes()) {
        return Err(io::Error::other("it is of another version than glTF 2.0"));
    }
    match chunk(&mut file, LARGEST_JSON)? {
        Some((kind, json)) if &kind == b"JSON" => {
            let own = chunk(&mut file, LARGEST_FILE)?.filter(|(kind, _)| kind == b"BIN\0");
            Ok((json, own.map(|(_, bytes)| bytes)))
        }
        _ => Err(io::Error::other("it does not begin with its JSON part")),
    }
}

fn too_much_json() -> io::Error {
    io::Error::other("its JSON part is larger than 64 megabytes")
}

/// The next part of a GLB file with its kind; `None` at the end.
fn chunk(file: &mut impl Read, most: u64) -> io::Result<Option<([u8; 4], Vec<u8>)>> {
    let mut head = Vec::new();
    file.take(8).read_to_end(&mut head)?;
    let Some((length, kind)) = head.split_first_chunk().and_then(|(length, kind)| Some((length, kind.first_chunk()?)))
    else {
        return Ok(None);
    };
    let length = u64::from(u32::from_le_bytes(*length));
    if length > most {
        let whole = io::copy(&mut file.take(most), &mut io::sink())? == most;
        return Err(if whole { too_much_json() } else { io::ErrorKind::UnexpectedEof.into() });
    }
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
}

impl<'f> Waiting<'f> {
    fn root(node: Node<'f>) -> Self {
        Self { node, around: DMat4::IDENTITY, called: None }
    }
}

/// The bytes of every buffer that a triangle may need; those of the others are left empty.
fn buffers(
    file: &Gltf,
    mut own: Option<Vec<u8>>,
    folder: &Path,
    gathered: &Gathered,
) -> Result<Vec<Arc<[u8]>>, MeshError> {
    let mut needed = HashSet::new();
    for primitive in file.meshes().flat_map(|mesh| mesh.primitives()) {
        let used = [primitive.get(&Semantic::Positions), primitive.indices()];
        needed.extend(used.into_iter().flatten().filter_map(|used| used.view()).map(|view| view.buffer().index()));
    }
    // How much is wanted of each file beside this one: a file that many buffers name is read once.
    let mut wanted: HashMap<&str, u64> = HashMap::new();
    for buffer in file.buffers().filter(|buffer| needed.contains(&buffer.index())) {
        if let Source::Uri(uri) = buffer.source() {
            let most = wanted.entry(uri).or_default();
            *most = (*most).max(u64::try_from(buffer.length()).unwrap_or(u64::MAX));
        }
    }
    let mut left = LARGEST_BUFFERS;
    let mut read: HashMap<&str, Arc<[u8]>> = HashMap::new();
    let mut fetched = Vec::new();
    for buffer in file.buffers() {
        let bytes = match buffer.source() {
            _ if !needed.contains(&buffer.index()) => Arc::default(),
            // There is at most one of these, the first.
            Source::Bin => own.take().ok_or_else(|| gathered.damaged("its binary part is missing"))?.into(),
            Source::Uri(uri) => match read.get(uri) {
                Some(known) => Arc::clone(known),
                None => {
                    let most = wanted.get(uri).copied().unwrap_or(0).min(left.saturating_add(1));
                    let bytes: Arc<[u8]> = uri_bytes(uri, most, folder, gathered)?.into();
                    left =
                        u64::try_from(bytes.len()).ok().and_then(|taken| left.checked_sub(taken)).ok_or_else(|| {
                            let wrong = "needs more than a thousand megabytes of other files";
                            gathered.error(wrong, "export it with fewer triangles")
                        })?;
                    read.insert(uri, Arc::clone(&bytes));
                    bytes
                }
            },
        };
        fetched.push(bytes);
    }
    Ok(fetched)
}

/// What an address holds: bytes written in it, or at most so many of a file in the mesh's folder.
fn uri_bytes(uri: &str, most: u64, folder: &Path, gathered: &Gathered) -> Result<Vec<u8>, MeshError> {
    if uri.starts_with("data:") {
        let coded = uri.split_once(";base64,").map(|(_, coded)| coded);
        return coded.and_then(from_base64).ok_or_else(|| gathered.damaged("a buffer inside it is not sound base64"));
    }
    let name = plain_name(uri);
    let within = |part: Component| matches!(part, Component::Normal(_) | Component::CurDir);
    if name.contains('\\') || name.contains(':') || !Path::new(&name).components().all(within) {
        let wrong = format!("names \"{}\" outside its folder", harmless(&name));
        return Err(gathered.error(&wrong, "export it with its numbers beside it, or as one .glb file"));
    }
    bytes_of(&folder.join(&name), &harmless(&name), most)
}

fn add_primitive(
    primitive: &Primitive,
    placed: &DMat4,
    buffers: &[Arc<[u8]>],
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

fn indices<'b>(accessor: &Accessor, buffers: &'b [Arc<[u8]>], gathered: &Gathered) -> Result<Column<'b>, MeshError> {
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
    fn of(accessor: &Accessor, size: usize, buffers: &'b [Arc<[u8]>], gathered: &Gathered) -> Result<Self, MeshError> {
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
