//! The polar plot of a survey as SVG on a sheet of A4: a double ring for each kind of light, what must show on its outer
//! strip and what does show on its inner one, with marks where they differ.
//!
//! Takes a judged survey; gives SVG. Every colour has its letter and its own hatching, every difference its own sign,
//! so that nothing is lost in grey.

mod labels;
mod layout;
mod marks;
mod page;
mod rings;
pub(super) mod runs;
mod shadows;
mod track;

use super::{Surveyed, pen::Pen};

/// One fit in one status as an SVG drawing, A4 upright. Ahead is up.
pub fn polar(surveyed: &Surveyed) -> String {
    let marks = marks::marks(surveyed);
    let mut pen = Pen::new(page::WIDTH, page::HEIGHT, page::MIDDLE);
    page::paper(&mut pen);
    page::title(&mut pen, surveyed, &marks);
    rings::draw(&mut pen, surveyed, &marks);
    page::foot(&mut pen, surveyed);
    pen.finish()
}
