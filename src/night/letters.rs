//! The letters R, G, W, Y, the dash and the figures as strokes, so that marks need no font.

use bevy::math::Vec2;

use super::paint::{Pen, Sheet};

/// Strokes on a grid four units wide and six high, from its lower left corner.
fn strokes(letter: char) -> &'static [&'static [(f32, f32)]] {
    match letter {
        'R' => &[
            &[(0.4, 0.0), (0.4, 6.0), (2.4, 6.0), (3.4, 5.3), (3.6, 4.5), (3.4, 3.7), (2.4, 3.0), (0.4, 3.0)],
            &[(2.0, 3.0), (3.7, 0.0)],
        ],
        'G' => &[&[
            (3.6, 4.8),
            (2.9, 5.7),
            (2.0, 6.0),
            (1.0, 5.6),
            (0.4, 4.5),
            (0.3, 3.0),
            (0.4, 1.5),
            (1.0, 0.4),
            (2.0, 0.0),
            (3.0, 0.3),
            (3.7, 1.2),
            (3.7, 2.7),
            (2.2, 2.7),
        ]],
        'W' => &[&[(-0.2, 6.0), (0.9, 0.0), (2.0, 4.2), (3.1, 0.0), (4.2, 6.0)]],
        'Y' => &[&[(0.1, 6.0), (2.0, 3.0), (3.9, 6.0)], &[(2.0, 3.0), (2.0, 0.0)]],
        '-' => &[&[(0.6, 3.0), (3.4, 3.0)]],
        _ => &[],
    }
}

/// Writes one letter with its middle at a place; unknown letters leave no mark.
pub fn write(pen: &mut Pen, sheet: &Sheet, centre: Vec2, height: f32, line: f32, colour: [f32; 4], letter: char) {
    let unit = height / 6.0;
    let place = |(x, y): (f32, f32)| centre + Vec2::new(x - 2.0, y - 3.0) * unit;
    for stroke in strokes(letter) {
        for pair in stroke.windows(2) {
            let (from, to) = (place(pair[0]), place(pair[1]));
            // Each piece runs a little over its ends, which closes the corners.
            let over = (to - from).normalize_or_zero() * line * 0.4;
            pen.line(sheet, from - over, to + over, line, [colour, colour]);
        }
    }
}
