//! A folded plate laid flat, and folded up again.
//!
//! Flat and folded are told in the plate's own frame, millimetres: x to the right seen from the lamp, y up the upright,
//! and, folded, z toward the lamp; the origin is level with the lamp's middle on the upright's lamp side. Takes where the
//! plate stands and what it is made of. Must never draw, and never judge whether it can be made.

use glam::{DVec2, DVec3};
use serde::Serialize;

use super::{fold::Fold, outline::Stroke, outline::rounded};
use crate::boat::bracket::{Flat, Folded, FoldedForm, MM, Standing};

/// The folded plate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plate {
    pub form: FoldedForm,
    pub thickness: f64,
    pub width: f64,
    pub corner: f64,
    /// The foot of an L or a Z.
    pub foot: Flange,
    /// The top of a Z.
    pub top: Option<Flange>,
    /// Where the upright of an L ends.
    pub end: f64,
}

/// What hangs on the upright by a fold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Flange {
    pub on: Flat,
    pub fold: Fold,
    /// How far its fold runs askew, rising to the right, radians.
    pub skew: f64,
    /// 1 where it is bent toward the lamp's side, -1 away from it.
    pub way: f64,
    /// Where the fold begins, on the middle line of the upright.
    pub tangent: f64,
    /// Measured outside, to where the outer faces would meet.
    pub outside: f64,
}

impl Flange {
    /// What of it stays flat.
    pub fn flat(&self) -> f64 {
        self.outside - self.fold.setback()
    }

    /// From the line where the fold begins to the free edge, flat.
    pub fn reach(&self) -> f64 {
        self.fold.allowance() + self.flat()
    }

    /// Along the fold, to the right.
    pub fn along(&self) -> DVec2 {
        DVec2::from_angle(self.skew)
    }

    /// Square to the fold, away from the upright.
    pub fn away(&self) -> DVec2 {
        if self.on == Flat::Top { self.along().perp() } else { -self.along().perp() }
    }

    /// How far along the fold and how far away from where it begins a flat point is.
    pub fn measure(&self, flat: DVec2) -> DVec2 {
        let from = flat - DVec2::new(0.0, self.tangent);
        DVec2::new(from.dot(self.along()), from.dot(self.away()))
    }

    /// The flat point that is measured so.
    pub fn point(&self, measured: DVec2) -> DVec2 {
        DVec2::new(0.0, self.tangent) + self.along() * measured.x + self.away() * measured.y
    }

    /// Half the length of its fold from side to side.
    fn half_fold(&self, width: f64) -> f64 {
        width / 2.0 / self.skew.cos()
    }

    /// Where a flat point goes that lies `deep` from the lamp's side (nought to minus the thickness).
    fn folded(&self, flat: DVec2, deep: f64) -> DVec3 {
        let measured = self.measure(flat);
        let inner = if self.way > 0.0 { 0.0 } else { -self.fold.thickness };
        let axis = inner + self.way * self.fold.radius;
        let radius = self.way * (axis - deep);
        let turned = (measured.y / self.fold.neutral_radius()).min(self.fold.angle);
        let beyond = (measured.y - self.fold.allowance()).max(0.0);
        let (sin, cos) = turned.sin_cos();
        let on =
            DVec2::new(0.0, self.tangent) + self.along() * measured.x + self.away() * (radius * sin + beyond * cos);
        on.extend(axis + self.way * (beyond * sin - radius * cos))
    }
}

impl Plate {
    /// The plate as the scene asks for it, of sheet with this inside radius and K.
    pub fn new(asked: &Folded, standing: &Standing, radius: f64, k: f64) -> Self {
        let fold = |angle: f64| Fold { angle, radius, thickness: asked.sheet, k };
        let drop = standing.drop / MM;
        let bend = fold(standing.bend);
        let foot = Flange {
            on: Flat::Foot,
            fold: bend,
            skew: standing.skew,
            way: standing.way,
            tangent: bend.setback() / standing.skew.cos() - drop,
            outside: asked.foot,
        };
        let square = fold(std::f64::consts::FRAC_PI_2);
        let top = standing.top.map(|top| Flange {
            on: Flat::Top,
            fold: square,
            skew: 0.0,
            way: 1.0,
            tangent: top / MM - square.setback(),
            outside: asked.top,
        });
        let end = asked.height(drop) - drop;
        Self { form: asked.form, thickness: asked.sheet, width: asked.width, corner: asked.corner, foot, top, end }
    }

    pub fn flanges(&self) -> impl Iterator<Item = &Flange> {
        std::iter::once(&self.foot).chain(&self.top)
    }

    /// Where the upright stops being flat at its upper end.
    fn upper(&self) -> f64 {
        self.top.map_or(self.end, |top| top.tangent)
    }

    /// Height of what stays flat of the upright, at its lower side.
    pub fn upright_flat(&self) -> f64 {
        self.upper() - self.foot.tangent - self.width / 2.0 * self.foot.skew.tan().abs()
    }

    /// Height of the upright measured outside on its middle line, from where the faces would meet.
    pub fn upright_outside(&self) -> f64 {
        let below = self.foot.fold.setback() / self.foot.skew.cos();
        self.upper() - self.foot.tangent + below + self.top.map_or(0.0, |top| top.fold.setback())
    }

    /// Length of the flat sheet along its middle line.
    pub fn flat_length(&self) -> f64 {
        self.upper() - self.foot.tangent + self.flanges().map(Flange::reach).sum::<f64>()
    }

    /// The outline of the flat sheet, anticlockwise; `None` where the corners do not fit.
    pub fn outline(&self) -> Option<Vec<Stroke>> {
        let half = self.foot.half_fold(self.width);
        let free = |flange: &Flange, side: f64| {
            (flange.point(DVec2::new(side * flange.half_fold(self.width), flange.reach())), self.corner)
        };
        let begins = |side: f64| (self.foot.point(DVec2::new(side * half, 0.0)), 0.0);
        let upper = |side: f64| match &self.top {
            Some(top) => free(top, side),
            None => (DVec2::new(side * self.width / 2.0, self.end), self.corner),
        };
        let mut corners = vec![free(&self.foot, -1.0), free(&self.foot, 1.0)];
        // Where the fold runs askew, the sides change their way at it.
        if self.foot.skew.abs() > 1e-9 {
            corners.extend([begins(1.0), upper(1.0), upper(-1.0), begins(-1.0)]);
        } else {
            corners.extend([upper(1.0), upper(-1.0)]);
        }
        rounded(&corners)
    }

    /// Both tangent lines and the middle of a fold, flat, from left to right.
    pub fn fold_lines(&self, flange: &Flange) -> [[DVec2; 2]; 3] {
        let half = flange.half_fold(self.width);
        [0.0, 0.5, 1.0]
            .map(|share| [-half, half].map(|along| flange.point(DVec2::new(along, share * flange.fold.allowance()))))
    }

    /// Where a point of the flat sheet goes when it is folded. `deep` is how far it lies from the face that is the
    /// upright's lamp side, nought to minus the thickness.
    pub fn folded(&self, flat: DVec2, deep: f64) -> DVec3 {
        let flange = self.flanges().find(|flange| flange.measure(flat).y > 0.0);
        flange.map_or(flat.extend(deep), |flange| flange.folded(flat, deep))
    }

    /// The part of the plate that a flat point lies on; a point in a fold counts as the flange's.
    pub fn part(&self, flat: DVec2) -> Flat {
        self.flanges().find(|flange| flange.measure(flat).y > 0.0).map_or(Flat::Upright, |flange| flange.on)
    }

    /// The folded plate cut along its middle: a closed line, z to the right and y up.
    pub fn profile(&self) -> Vec<DVec2> {
        let mut stations = vec![DVec2::new(0.0, self.end)];
        let curve = |flange: &Flange| {
            let (allowance, reach) = (flange.fold.allowance(), flange.reach());
            let on_fold = (0..=16).map(move |n| f64::from(n) / 16.0 * allowance);
            on_fold.chain([reach]).map(|away| flange.point(DVec2::new(0.0, away))).collect::<Vec<_>>()
        };
        if let Some(top) = &self.top {
            stations = curve(top).into_iter().rev().collect();
        }
        stations.extend(curve(&self.foot));
        let side =
            |deep: f64| stations.iter().map(move |flat| self.folded(*flat, deep)).map(|at| DVec2::new(at.z, at.y));
        let back: Vec<DVec2> = side(-self.thickness).collect();
        side(0.0).chain(back.into_iter().rev()).collect()
    }
}
