//! Tables on pages: rows stay whole, heads come again on every page.

use super::{
    Cell, Table,
    ink::{HAIR, INK, Letter, MIST, SEA},
    layout::{LEADING, Press, SMALL, broken, tick_box},
};

/// Room within a field, millimetres.
const PAD: f64 = 1.6;
/// A table no higher than this is not broken over pages.
const SMALL_TABLE: f64 = 80.0;
/// What a box to tick takes of a field.
const TICK: f64 = 6.0;

const FIELD: Letter = Letter { size: SMALL, bold: false, ink: INK };
const HEAD: Letter = Letter { size: SMALL, bold: true, ink: SEA };

/// A row broken into lines, field by field.
type Broken = Vec<(bool, Vec<String>)>;

pub(super) fn set(press: &mut Press, table: &Table) {
    let widths = widths(press, table);
    let heads: Vec<Cell> = table.heads.iter().map(|head| Cell::Words(head.clone())).collect();
    let head = fields(&heads, &widths, HEAD);
    let rows: Vec<Broken> = table.rows.iter().map(|row| fields(row, &widths, FIELD)).collect();
    let whole = height(&head) + rows.iter().map(height).sum::<f64>();
    let first = height(&head) + rows.first().map_or(0.0, height);
    press.need(if whole <= SMALL_TABLE { whole } else { first });
    draw_head(press, &head, &widths);
    for row in &rows {
        if press.need(height(row)) {
            draw_head(press, &head, &widths);
        }
        draw(press, row, &widths, FIELD);
        let (y, left, room) = (press.y, press.left(), press.room());
        press.page().rule((left, y), (left + room, y), 0.2, HAIR);
    }
    press.skip(4.0);
}

fn widths(press: &Press, table: &Table) -> Vec<f64> {
    let columns = table.heads.len().max(1);
    let shares: Vec<f64> = (0..columns).map(|n| table.shares.get(n).copied().unwrap_or(1.0).max(0.01)).collect();
    let all: f64 = shares.iter().sum();
    shares.iter().map(|share| share / all * press.room()).collect()
}

fn fields(row: &[Cell], widths: &[f64], letter: Letter) -> Broken {
    row.iter()
        .zip(widths)
        .map(|(cell, width)| match cell {
            Cell::Words(words) => (false, broken(words, letter, width - 2.0 * PAD)),
            Cell::Tick(words) => (true, broken(words, letter, width - 2.0 * PAD - TICK)),
        })
        .collect()
}

fn height(row: &Broken) -> f64 {
    let lines = row.iter().map(|(_, lines)| lines.len()).max().unwrap_or(1);
    lines as f64 * SMALL * LEADING + 2.0 * PAD - 0.6
}

fn draw_head(press: &mut Press, head: &Broken, widths: &[f64]) {
    let (y, left, room) = (press.y, press.left(), press.room());
    press.page().frame((left, y), (room, height(head)), MIST, "none");
    draw(press, head, widths, HEAD);
    let y = press.y;
    press.page().rule((left, y), (left + room, y), 0.4, SEA);
}

fn draw(press: &mut Press, row: &Broken, widths: &[f64], letter: Letter) {
    let (mut x, top) = (press.left() + PAD, press.y + PAD - 0.5);
    for ((tick, lines), width) in row.iter().zip(widths) {
        let first = top + letter.size;
        if *tick {
            tick_box(press.page(), (x, first));
        }
        let set_in = if *tick { TICK } else { 0.0 };
        for (n, line) in lines.iter().enumerate().filter(|(_, line)| !line.is_empty()) {
            press.page().words((x + set_in, first + n as f64 * letter.size * LEADING), letter, line);
        }
        x += width;
    }
    press.y += height(row);
}
