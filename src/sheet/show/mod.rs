//! The customer sheet: one HTML file, complete in itself, in which a customer walks round his boat at night and
//! understands what is wrong with her lights and what the new ones change.
//!
//! Takes one or two judged surveys and pictures drawn from the same places for both; gives the file. What is said of
//! every bearing is worked out here from the survey: the script of the page only turns the view. Must never draw a
//! picture, compute light or ask for anything that is not in the file.

mod data;
mod facts;
mod html;
mod list;
mod page;
mod plot;
mod sight;
mod stills;
mod telling;
mod walk;
mod words;
mod wrong;

use crate::{
    measure::{Bearing, Metres, NauticalMiles},
    rules::Date,
    sheet::Surveyed,
};

/// All that goes onto one customer sheet.
pub struct Visit<'a> {
    /// The lights as they are.
    pub before: Surveyed<'a>,
    /// The lights as they are to be, on the same boat in the same status.
    pub after: Option<Surveyed<'a>>,
    /// Where the customer may stand, in the order of the walk. Where there are none, the thirty-two points.
    pub bearings: Vec<Bearing>,
    /// What he sees there; without, the page works with its plot alone.
    pub pictures: Option<Pictures>,
    /// Who fits the lights, by name.
    pub by: Option<&'a str>,
    /// What the fitter wants to add, in his own words.
    pub note: Option<&'a str>,
    pub date: Date,
    /// Of the program.
    pub version: &'a str,
}

/// Pictures of both fits from the same places.
pub struct Pictures {
    pub before: Vec<Picture>,
    /// Empty where there is no second fit.
    pub after: Vec<Picture>,
    /// Width and height of every one, in its own points.
    pub size: (u32, u32),
    /// How far off they are drawn from the middle of the boat.
    pub distance: Metres,
    /// How high above the water the eye is.
    pub eye: Metres,
}

/// One picture as it lies in a file. Its place in the list is that of its bearing in [`Visit::bearings`]; a bearing beyond the end of
/// the list has none.
pub struct Picture {
    pub media: Media,
    pub bytes: Vec<u8>,
}

/// What kind of picture the bytes are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Media {
    Jpeg,
    Png,
}

impl Picture {
    /// The picture as an address that holds it whole.
    fn address(&self) -> String {
        let media = match self.media {
            Media::Jpeg => "image/jpeg",
            Media::Png => "image/png",
        };
        format!("data:{media};base64,{}", html::base64(&self.bytes))
    }
}

impl Pictures {
    /// Those of a fit: 0 as it is, 1 as it is to be.
    fn of(&self, fit: usize) -> &[Picture] {
        if fit == 0 { &self.before } else { &self.after }
    }
}

/// The page as one HTML file.
pub fn page(visit: &Visit) -> String {
    page::write(&facts::Facts::of(visit))
}

/// "about 930 m", "about 3.7 km".
fn how_far(distance: NauticalMiles) -> String {
    let metres = distance.metres().0;
    if metres < 1000.0 {
        let step = if metres < 100.0 { 1.0 } else { 10.0 };
        format!("about {} m", (metres / step).round() * step)
    } else {
        format!("about {} km", crate::measure::trimmed(metres / 1000.0, 1))
    }
}
