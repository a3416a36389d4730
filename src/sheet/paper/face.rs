//! The typeface of the sheets: Atkinson Hyperlegible, plain and bold, and how wide words run in it.
//!
//! Takes words and a size; gives widths in the unit of the size.

use std::sync::OnceLock;

use ttf_parser::Face;

pub(super) const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/AtkinsonHyperlegible-Regular.ttf");
pub(super) const BOLD: &[u8] = include_bytes!("../../../assets/fonts/AtkinsonHyperlegible-Bold.ttf");
pub(super) const FAMILY: &str = "Atkinson Hyperlegible";

/// A letter that the typeface has not takes this share of its size.
const STRANGE: f64 = 0.7;

struct Faces {
    regular: Option<Face<'static>>,
    bold: Option<Face<'static>>,
}

fn faces() -> &'static Faces {
    static FACES: OnceLock<Faces> = OnceLock::new();
    FACES.get_or_init(|| Faces { regular: Face::parse(REGULAR, 0).ok(), bold: Face::parse(BOLD, 0).ok() })
}

/// How wide words run.
pub fn width(words: &str, size: f64, bold: bool) -> f64 {
    let face = if bold { &faces().bold } else { &faces().regular };
    let Some(face) = face else { return words.chars().count() as f64 * STRANGE * size };
    let units = f64::from(face.units_per_em());
    let each = |letter: char| {
        let glyph = face.glyph_index(letter).and_then(|glyph| face.glyph_hor_advance(glyph));
        glyph.map_or(STRANGE, |advance| f64::from(advance) / units)
    };
    words.chars().map(each).sum::<f64>() * size
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bold_runs_wider_and_every_face_is_read() {
        assert!(faces().regular.is_some() && faces().bold.is_some());
        let words = "Marking out";
        assert!(width(words, 10.0, true) > width(words, 10.0, false));
        assert!((width(words, 10.0, false) - 2.0 * width(words, 5.0, false)).abs() < 1e-9);
    }
}
