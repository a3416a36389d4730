//! The most telling places, side by side and at rest: all of the walk that paper, and a browser without scripts, can show.
//!
//! Takes the facts; gives HTML. Must never choose: which places tell the most is settled before.

use super::{
    facts::Facts,
    html::{escaped, name},
    sight::place,
    walk::{image, lamps, stand_class},
};

pub(super) fn stills(facts: &Facts) -> String {
    let each: String = facts.telling.iter().enumerate().map(|(index, place)| spot(facts, index, *place)).collect();
    format!(
        "<section class=\"stills\" aria-labelledby=\"stills-head\">\n<h2 id=\"stills-head\">Where it tells most</h2>\n{each}</section>\n"
    )
}

fn spot(facts: &Facts, index: usize, at: usize) -> String {
    let bearing = facts.bearings[at];
    let pair: String = (0..facts.fits.len()).map(|fit| one(facts, fit, at)).collect();
    format!(
        "<article class=\"spot-view\" data-place=\"{at}\">\n<h3><span class=\"number\">{}</span> From {} <span class=\"degrees\">({bearing} \
         degrees)</span></h3>\n<div class=\"pair\">{pair}</div>\n</article>\n",
        index + 1,
        place(bearing),
    )
}

fn one(facts: &Facts, fit: usize, at: usize) -> String {
    let told = &facts.fits[fit].told[at];
    let picture = facts
        .pictures(fit)
        .get(at)
        .map_or_else(String::new, |picture| image(facts, &picture.address(), fit, facts.bearings[at], ""));
    format!(
        "<figure class=\"view\">{picture}<figcaption><p class=\"which\">{} <span class=\"lamps\" aria-hidden=\"true\">{}</span> \
         <span class=\"stand {}\">{}</span></p><p class=\"said\">{}</p></figcaption></figure>\n",
        name(&facts.fits[fit].surveyed.fit.name),
        lamps(told),
        stand_class(told),
        told.stand.in_words(),
        escaped(&told.said),
    )
}
