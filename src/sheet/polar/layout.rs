//! Where each ring of the plot lies, in millimetres from its middle.

use super::track::Track;

/// Radius of the outermost ring.
pub(super) const OUTSIDE: f64 = 79.0;
/// What is kept free within the rings for the boat and the names beside her.
const LEAST_INSIDE: f64 = 22.0;
/// The most that a double ring takes, the gap to the next one included.
const DEEPEST: f64 = 13.0;
/// Between the two strips of a ring.
const SLIT: f64 = 0.7;

/// A strip: its radii.
#[derive(Clone, Copy)]
pub(super) struct Strip {
    pub inner: f64,
    pub outer: f64,
}

impl Strip {
    pub fn middle(self) -> f64 {
        (self.inner + self.outer) / 2.0
    }

    pub fn depth(self) -> f64 {
        self.outer - self.inner
    }
}

/// See the module.
pub(super) struct Layout {
    pub tracks: Vec<Track>,
    pitch: f64,
    gap: f64,
}

impl Layout {
    pub fn of(tracks: Vec<Track>) -> Self {
        let pitch = ((OUTSIDE - LEAST_INSIDE) / tracks.len().max(1) as f64).min(DEEPEST);
        // Where rings are few, wide gaps keep each pair of strips together to the eye.
        let gap = 0.8 + 0.23 * (pitch - 7.0).max(0.0);
        Self { tracks, pitch, gap }
    }

    fn outer(&self, track: Track) -> f64 {
        let index = self.tracks.iter().position(|one| *one == track).unwrap_or(0);
        OUTSIDE - self.pitch * index as f64
    }

    /// Of what must show.
    pub fn must(&self, track: Track) -> Strip {
        let outer = self.outer(track);
        Strip { inner: outer - 0.47 * (self.pitch - self.gap - SLIT), outer }
    }

    /// Of what does show.
    pub fn shown(&self, track: Track) -> Strip {
        let outer = self.must(track).inner - SLIT;
        Strip { inner: self.outer(track) - self.pitch + self.gap, outer }
    }

    /// What is left within the rings.
    pub fn inside(&self) -> f64 {
        OUTSIDE - self.pitch * self.tracks.len() as f64 + self.gap
    }

    /// Room for the boat in plan, length and breadth.
    pub fn boat(&self) -> (f64, f64) {
        ((1.55 * self.inside()).min(36.0), (0.5 * self.inside()).min(15.0))
    }
}
