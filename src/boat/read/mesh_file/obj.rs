//! Reads the faces of an OBJ file with the names of its objects and groups. Materials, lines, points and free-form
//! curves have no bearing on shadows and are passed over.
//!
//! Must never know of scenes.

use std::io::BufRead;

use glam::DVec3;

use super::{MOST_TRIANGLES, MeshError, gather::Gathered, lines::Lines, polygon};

pub(super) fn read(file: impl BufRead, gathered: &mut Gathered) -> Result<(), MeshError> {
    let mut lines = Lines::of(file);
    let mut points: Vec<DVec3> = Vec::new();
    let mut face: Vec<DVec3> = Vec::new();
    let mut object: Option<String> = None;
    while let Some(line) = lines.next(gathered)? {
        let mut words = line.split_ascii_whitespace();
        let Some(first) = words.next() else { continue };
        let name = || line.trim_start().get(1..).map(str::trim).filter(|name| !name.is_empty());
        match first {
            "v" => {
                let mut number = || words.next().and_then(|word| word.parse::<f64>().ok());
                let (Some(x), Some(y), Some(z)) = (number(), number(), number()) else {
                    return Err(gathered.damaged(format!("line {} names no corner", lines.number)));
                };
                if points.len() >= 3 * MOST_TRIANGLES {
                    return Err(gathered.too_many());
                }
                points.push(DVec3::new(x, y, z));
            }
            "f" => {
                face.clear();
                for word in words {
                    let Some(point) = corner(word, &points) else {
                        let what = format!("the face on line {} names a corner that is not there", lines.number);
                        return Err(gathered.damaged(what));
                    };
                    face.push(point);
                }
                let Some(triangles) = polygon::cut(&face) else {
                    let wrong =
                        format!("has a face of {} corners, some of them inward, on line {}", face.len(), lines.number);
                    return Err(gathered.error(&wrong, "export it with its faces cut into triangles"));
                };
                for triangle in triangles {
                    gathered.add(triangle.map(|n| face[n]))?;
                }
            }
            "o" => {
                object = name().map(Into::into);
                gathered.begin(object.as_deref());
            }
            // The group without a name, and the one so called, is the file's way to say that there is none.
            "g" => gathered.begin(name().filter(|name| *name != "default").or(object.as_deref())),
            _ => {}
        }
    }
    Ok(())
}

/// The point that "7", "7/1", "7//2" or "-1" names: counted from 1, or back from the last.
fn corner(word: &str, points: &[DVec3]) -> Option<DVec3> {
    let number: i64 = word.split('/').next()?.parse().ok()?;
    let index = if number < 0 { i64::try_from(points.len()).ok()? + number } else { number - 1 };
    points.get(usize::try_from(index).ok()?).copied()
}
