//! Reads an STL file, binary or written, from the stream, so that no more of it than a line is ever held.
//!
//! Must never know of scenes.

use std::io::{BufRead, Read, Seek, SeekFrom};

use glam::DVec3;

use super::{MeshError, gather::Gathered, lines::Lines};

/// Bytes of a binary header with its count, and of each triangle.
const HEAD: u64 = 84;
const TRIANGLE: u64 = 50;
/// Bytes from the start among which a written file has its first facet.
const OPENING: u64 = 2048;

pub(super) fn read(mut file: impl BufRead + Seek, size: u64, gathered: &mut Gathered) -> Result<(), MeshError> {
    let mut opening = Vec::new();
    let whole = (&mut file).take(OPENING).read_to_end(&mut opening).and_then(|_| file.seek(SeekFrom::Start(0)));
    whole.map_err(|error| gathered.damaged(error))?;
    let count = opening.get(80..84).and_then(|count| count.try_into().ok()).map_or(0, u32::from_le_bytes);
    let due = HEAD + u64::from(count) * TRIANGLE;
    // Some programs begin even a binary header with the word that marks a written one.
    let words = String::from_utf8_lossy(&opening).to_lowercase();
    let written = words.trim_start_matches('\u{feff}').trim_start().starts_with("solid")
        && (words.contains("facet") || words.contains("endsolid"));
    if written && size != due {
        return in_words(file, gathered);
    }
    if size < due || size < HEAD {
        return Err(gathered.damaged("it ends before its last triangle"));
    }
    binary(file, count, gathered)
}

fn binary(mut file: impl Read + Seek, count: u32, gathered: &mut Gathered) -> Result<(), MeshError> {
    file.seek(SeekFrom::Start(HEAD)).map_err(|error| gathered.damaged(error))?;
    let count = usize::try_from(count).map_err(|error| gathered.damaged(error))?;
    gathered.expect(count);
    let mut bytes = [0; 50];
    for _ in 0..count {
        file.read_exact(&mut bytes).map_err(|error| gathered.damaged(error))?;
        let number =
            |at: usize| f64::from(f32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]));
        gathered.add([12, 24, 36].map(|at| DVec3::new(number(at), number(at + 4), number(at + 8))))?;
    }
    Ok(())
}

fn in_words(file: impl BufRead, gathered: &mut Gathered) -> Result<(), MeshError> {
    let mut lines = Lines::of(file);
    let mut corners: Vec<DVec3> = Vec::new();
    let mut open = false;
    while let Some(line) = lines.next(gathered)? {
        let mut words = line.split_ascii_whitespace();
        let first = words.next().unwrap_or_default().to_ascii_lowercase();
        match first.as_str() {
            "solid" => {
                open = true;
                gathered.begin(Some(line.trim_start().get(5..).unwrap_or_default()));
            }
            "endsolid" => open = false,
            "facet" => corners.clear(),
            "vertex" => {
                let mut number = || words.next().and_then(|word| word.parse::<f64>().ok());
                let (Some(x), Some(y), Some(z)) = (number(), number(), number()) else {
                    return Err(gathered.damaged(format!("line {} names no corner", lines.number)));
                };
                corners.push(DVec3::new(x, y, z));
            }
            "endloop" => {
                let [a, b, c] = corners.as_slice() else {
                    return Err(
                        gathered.damaged(format!("the facet that ends on line {} has not three corners", lines.number))
                    );
                };
                gathered.add([*a, *b, *c])?;
                corners.clear();
            }
            _ => {}
        }
    }
    if open { Err(gathered.damaged("it ends before its last triangle")) } else { Ok(()) }
}
