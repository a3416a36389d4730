//! The arithmetic of one fold in sheet.
//!
//! Takes angle, inside radius, thickness and K; gives lengths in the unit of the thickness. The formulas are those that
//! sheet metal work goes by everywhere; `tests/bend_allowance.rs` holds them against published examples.

use serde::Serialize;

/// A fold. Lengths in any one unit; angles in radians.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Fold {
    /// How far the sheet is bent out of flat, in `(0, pi)`.
    pub angle: f64,
    /// On the inside.
    pub radius: f64,
    pub thickness: f64,
    /// Where the fibre lies that keeps its length, as a share of the thickness from the inside.
    pub k: f64,
}

impl Fold {
    /// Radius of the fibre that keeps its length.
    pub fn neutral_radius(&self) -> f64 {
        self.radius + self.k * self.thickness
    }

    /// Bend allowance: what the fold takes of the flat sheet, from tangent line to tangent line.
    pub fn allowance(&self) -> f64 {
        self.angle * self.neutral_radius()
    }

    /// Outside setback: from a tangent line to where the outer faces would meet.
    pub fn setback(&self) -> f64 {
        (self.angle / 2.0).tan() * (self.radius + self.thickness)
    }

    /// Bend deduction: what the flat sheet is shorter than its two legs measured outside.
    pub fn deduction(&self) -> f64 {
        2.0 * self.setback() - self.allowance()
    }
}
