//! Lights as an eye has them at night: small discs on black with the letter of their colour beside each.
//!
//! Takes lights in metres to the onlooker's right and up; gives an SVG picture, or rows of letters for plain text. Lights too
//! close to tell apart on paper are drawn apart. Must never leave a light out.

use crate::{light::Colour, sheet::pen::two, teach::drill::Dot};

/// Millimetres of the picture, the room kept free at its edges, the disc, and the least between the middles of two.
const WIDTH: f64 = 62.0;
const HEIGHT: f64 = 34.0;
const EDGE: f64 = 7.0;
const DISC: f64 = 1.15;
const APART: f64 = 4.6;
/// Metres that the picture shows at least, so that two lights close together do not fill it.
const LEAST_SHOWN: f64 = 4.0;
const LETTER: f64 = 3.4;

/// A colour on black: light enough for a printer's black, the four far apart in lightness or hue.
fn ink(colour: Colour) -> &'static str {
    match colour {
        Colour::Red => "#ff5a4d",
        Colour::Green => "#2fd576",
        Colour::White => "#ffffff",
        Colour::Yellow => "#ffd23f",
    }
}

/// Where each light lies on the picture, millimetres right and down from its upper left corner.
fn spots(dots: &[Dot]) -> Vec<(f64, f64)> {
    let (least, most) = ends(dots.iter().map(|dot| dot.right));
    let (low, high) = ends(dots.iter().map(|dot| dot.up));
    let across = (most - least).max(LEAST_SHOWN);
    let up = (high - low).max(LEAST_SHOWN / 2.0);
    let scale = ((WIDTH - 2.0 * EDGE) / across).min((HEIGHT - 2.0 * EDGE) / up);
    let place = |dot: &Dot| {
        let x = WIDTH / 2.0 + (dot.right - f64::midpoint(least, most)) * scale;
        let y = HEIGHT / 2.0 - (dot.up - f64::midpoint(low, high)) * scale;
        (x, y)
    };
    let mut spots: Vec<(f64, f64)> = dots.iter().map(place).collect();
    part(&mut spots);
    spots
}

fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| (least.min(value), most.max(value)))
}

/// Pushes lights that would run together apart, along the line between them, a little at a time.
fn part(spots: &mut [(f64, f64)]) {
    const ROUNDS: usize = 200;
    for _ in 0..ROUNDS {
        let mut moved = false;
        for one in 0..spots.len() {
            for other in one + 1..spots.len() {
                let (dx, dy) = (spots[other].0 - spots[one].0, spots[other].1 - spots[one].1);
                let gap = dx.hypot(dy);
                if gap >= APART - 1e-6 {
                    continue;
                }
                // Lights in one spot: the later one, which is lower, goes down.
                let (ux, uy) = if gap > 1e-6 { (dx / gap, dy / gap) } else { (0.0, 1.0) };
                let push = (APART - gap) / 2.0;
                spots[one] = inside((spots[one].0 - ux * push, spots[one].1 - uy * push));
                spots[other] = inside((spots[other].0 + ux * push, spots[other].1 + uy * push));
                moved = true;
            }
        }
        if !moved {
            return;
        }
    }
}

fn inside((x, y): (f64, f64)) -> (f64, f64) {
    (x.clamp(4.0, WIDTH - 4.0), y.clamp(3.0, HEIGHT - 3.0))
}

/// The picture as SVG, to stand in a page.
pub(super) fn picture(dots: &[Dot]) -> String {
    let spots = spots(dots);
    let names: Vec<&str> = dots.iter().map(|dot| dot.colour.name()).collect();
    let mut svg = format!(
        "<svg class=\"night\" width=\"{WIDTH}mm\" height=\"{HEIGHT}mm\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-label=\"lights, from the top down: {}\"><rect width=\"{WIDTH}\" height=\"{HEIGHT}\" rx=\"1.5\" fill=\"#05070a\"/>",
        names.join(", ")
    );
    for (dot, (x, y)) in dots.iter().zip(&spots) {
        let colour = ink(dot.colour);
        let side = side(*x, *y, &spots);
        let letter_x = x + side * (DISC + 1.0);
        let anchor = if side > 0.0 { "start" } else { "end" };
        svg.push_str(&format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{DISC}\" fill=\"{colour}\"/><text x=\"{}\" y=\"{}\" font-size=\"{LETTER}\" \
             text-anchor=\"{anchor}\" fill=\"#e8ebee\">{}</text>",
            two(*x),
            two(*y),
            two(letter_x),
            two(y + LETTER * 0.35),
            dot.colour.letter()
        ));
    }
    svg.push_str("</svg>");
    svg
}

/// On which side of a light its letter goes: the right, unless another light is in the way there and none on the left.
fn side(x: f64, y: f64, spots: &[(f64, f64)]) -> f64 {
    let taken = |sign: f64| {
        spots.iter().any(|(other, level)| (level - y).abs() < 3.0 && (1e-6..7.5).contains(&((other - x) * sign)))
    };
    if taken(1.0) && !taken(-1.0) { -1.0 } else { 1.0 }
}

/// Columns and rows of the picture in letters.
const COLUMNS: usize = 33;
const ROWS: usize = 9;

/// The picture in letters, a row a line; each light is the letter of its colour.
pub(super) fn letters(dots: &[Dot]) -> Vec<String> {
    let mut grid = vec![vec![' '; COLUMNS]; ROWS];
    for (dot, (x, y)) in dots.iter().zip(spots(dots)) {
        // Within the grid, since spots lie within the picture.
        let mut column = (x / WIDTH * (COLUMNS - 1) as f64).round() as usize;
        let row = (y / HEIGHT * (ROWS - 1) as f64).round() as usize;
        while column + 1 < COLUMNS && grid[row][column] != ' ' {
            column += 2;
        }
        grid[row][column.min(COLUMNS - 1)] = dot.colour.letter();
    }
    let filled = |row: &Vec<char>| row.iter().any(|letter| *letter != ' ');
    let (first, last) = (grid.iter().position(filled).unwrap_or(0), grid.iter().rposition(filled).unwrap_or(0));
    grid[first..=last].iter().map(|row| format!("|{}|", row.iter().collect::<String>())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_light_is_lost_and_none_covers_another() {
        let dot = |right: f64, up: f64| Dot { right, up, colour: Colour::Red };
        for dots in [vec![dot(0.0, 1.0)], vec![dot(0.0, 1.0); 3], vec![dot(0.0, 1.0), dot(0.1, 1.0), dot(40.0, 22.0)]] {
            let spots = spots(&dots);
            for (index, one) in spots.iter().enumerate() {
                assert!(spots[..index].iter().all(|other| (one.0 - other.0).hypot(one.1 - other.1) > 2.0 * DISC));
            }
            assert_eq!(picture(&dots).matches("<circle").count(), dots.len());
            let letters: usize = letters(&dots).iter().map(|row| row.matches('R').count()).sum();
            assert_eq!(letters, dots.len());
        }
    }
}
