//! Where a picture is taken from and what the night is like: the options that `still` and `film` share.

use std::path::PathBuf;

use clap::ValueEnum;

use super::chosen_fits;
use crate::{
    boat::{Scene, Status},
    light::Background,
    measure::{Bearing, Degrees, Metres, NauticalMiles},
    night::{Shot, Sky, View},
};

#[derive(clap::Args, Debug)]
pub(super) struct ShotArgs {
    /// Scene file (RON).
    #[arg(value_name = "SCENE")]
    pub(super) scene: PathBuf,
    /// The fit to show; otherwise the first.
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// What the boat is doing.
    #[arg(long, value_name = "NAME", value_parser = super::status(), default_value = "under-way", hide_possible_values = true)]
    status: Status,
    /// From the water, from above with the ring of observers, or close by on deck.
    #[arg(long, value_enum, default_value = "afloat")]
    view: ViewName,
    /// Where the eye is, as a relative bearing: degrees clockwise from her bow. [default: 90; aloft 32]
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    bearing: Option<f64>,
    /// How far off: nautical miles, or metres as in `400m`. Aloft, the distance of the observers on the ring.
    #[arg(long, value_name = "DISTANCE", value_parser = distance)]
    range: Option<Metres>,
    /// Height of the observer's eye above the water, metres. [default: the first of the scene]
    #[arg(long, value_name = "METRES", allow_negative_numbers = true)]
    eye: Option<f64>,
    /// Height of the view, degrees; otherwise what fills the picture with the boat.
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    field_of_view: Option<f64>,
    /// How clear the air is, nautical miles of visibility; otherwise as the scene says.
    #[arg(long, value_name = "MILES", value_parser = clap::value_parser!(f64))]
    visibility: Option<f64>,
    /// What shines behind her, which makes lights harder to make out.
    #[arg(long, value_enum, default_value = "open-sea")]
    behind: Behind,
    /// A night without a moon.
    #[arg(long)]
    moonless: bool,
    /// Width and height in pixels.
    #[arg(long, value_name = "WxH", default_value = "1280x720", value_parser = size)]
    pub(super) size: (u32, u32),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ViewName {
    Afloat,
    Aloft,
    Deck,
}

impl ViewName {
    pub(super) fn view(self) -> View {
        match self {
            Self::Afloat => View::Afloat,
            Self::Aloft => View::Aloft,
            Self::Deck => View::Deck,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Behind {
    OpenSea,
    FewLights,
    Harbour,
}

impl Behind {
    fn background(self) -> Background {
        match self {
            Self::OpenSea => Background::Dark,
            Self::FewLights => Background::Minor,
            Self::Harbour => Background::Substantial,
        }
    }
}

/// Thickest and clearest air, nautical miles.
const AIR: std::ops::RangeInclusive<f64> = 0.5..=20.0;

/// The farthest an observer may be set, in nautical miles.
const FARTHEST: f64 = 10.0;

fn distance(text: &str) -> Result<Metres, String> {
    let wanted = || "a distance is wanted: nautical miles as in 0.25, or metres as in 400m".to_string();
    let metres = match text.strip_suffix('m').filter(|_| !text.ends_with("nm")) {
        Some(metres) => Metres(metres.trim().parse().map_err(|_| wanted())?),
        None => NauticalMiles(text.trim_end_matches("nm").trim().parse().map_err(|_| wanted())?).metres(),
    };
    if metres.0 >= 3.0 && metres.nautical_miles().0 <= FARTHEST {
        Ok(metres)
    } else {
        Err(format!("3 metres to {FARTHEST} nautical miles are possible"))
    }
}

pub(super) fn size(text: &str) -> Result<(u32, u32), String> {
    let sides =
        text.split_once(['x', 'X']).and_then(|(width, height)| Some((width.parse().ok()?, height.parse().ok()?)));
    sides.ok_or_else(|| "width and height in pixels are wanted, as in 1280x720".into())
}

impl ShotArgs {
    /// The picture that is asked for; or a sentence on why there can be none.
    pub(super) fn shot(&self, scene: &Scene) -> Result<Shot, String> {
        let fits = chosen_fits(scene, Some(&self.scene), self.fit.as_deref())?;
        let fit =
            scene.fits.iter().position(|fit| fits.first().is_some_and(|first| std::ptr::eq(*first, fit))).unwrap_or(0);
        let status = self.status.plain(scene.vessel.propulsion);
        let bearing = self.bearing.map(Bearing::new);
        let eye = self.eye.map_or_else(|| scene.conditions.eyes.first().copied().unwrap_or(Metres(2.0)), Metres);
        let beam = bearing.unwrap_or(Bearing::STARBOARD_BEAM);
        let mut shot = match self.view {
            ViewName::Afloat => Shot { eye, ..Shot::afloat(fit, status, beam) },
            ViewName::Aloft => Shot::aloft(fit, status, self.range.unwrap_or(scene.conditions.far.metres()), eye),
            ViewName::Deck => Shot { eye, ..Shot::deck(fit, status, beam) },
        };
        if let Some(bearing) = bearing {
            shot.bearing = bearing;
        }
        if let Some(range) = self.range {
            shot.range = range;
        }
        shot.field_of_view = self.field_of_view.map(Degrees);
        if let Some(miles) = self.visibility.filter(|miles| !AIR.contains(miles)) {
            return Err(format!("a visibility of {miles} nautical miles cannot be drawn: 0.5 to 20 are possible"));
        }
        let visibility = self.visibility.map(NauticalMiles);
        shot.sky = Sky { visibility, background: self.behind.background(), moon: !self.moonless };
        Ok(shot)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_miles_or_metres() {
        assert_eq!(distance("400m"), Ok(Metres(400.0)));
        assert_eq!(distance("0.25"), Ok(Metres(463.0)));
        assert_eq!(distance("0.25nm"), Ok(Metres(463.0)));
        for wrong in ["", "far", "-1", "1 mile", "2m", "11", "nan", "m"] {
            assert!(distance(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn sizes_are_two_whole_numbers() {
        assert_eq!(size("640x360"), Ok((640, 360)));
        for wrong in ["640", "640x", "x", "640x360x2", "-1x5", "wide"] {
            assert!(size(wrong).is_err(), "{wrong}");
        }
    }
}
