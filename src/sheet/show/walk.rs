//! The part of the page that the customer walks with: one view a fit, the slider, the switch, and the plan.
//!
//! Takes the facts; gives HTML as it stands at the first place, which the script then turns. Must never be all there is:
//! what it shows is also told without a script.

use super::{
    facts::{Facts, FitFacts},
    how_far,
    html::{escaped, name},
    plot::plot,
    sight::{Told, place},
};
use crate::{light::Colour, measure::Bearing};

pub(super) fn walk(facts: &Facts) -> String {
    let start = facts.telling.first().copied().unwrap_or(0);
    let views: String = (0..facts.fits.len()).map(|fit| view(facts, fit, start)).collect();
    let how = if facts.has_pictures() {
        "Draw your finger across the picture, or use the slider or the arrow keys."
    } else {
        "Use the slider or the arrow keys, or touch the rings."
    };
    format!(
        "<section class=\"round\" aria-labelledby=\"round-head\">\n<h2 id=\"round-head\"><span class=\"live-only\">Walk round her</span>\
         <span class=\"still-only\">From all round</span></h2>\n\
         <p class=\"how live-only\">{how}</p>\n\
         <div class=\"floor\">\n<div class=\"views live-only\">\n{switch}<div class=\"pair\" id=\"stage\">\n{views}</div>\n{steer}</div>\n\
         <figure class=\"plan\">{plot}<figcaption>{caption}</figcaption></figure>\n</div>\n</section>\n",
        switch = switch(facts),
        steer = steer(facts, start),
        plot = plot(facts),
        caption = caption(facts),
    )
}

/// Which fit to look at, where there is room for one only.
fn switch(facts: &Facts) -> String {
    if facts.fits.len() < 2 {
        return String::new();
    }
    let choice = |(index, fit): (usize, &FitFacts)| {
        let checked = if index == 0 { " checked" } else { "" };
        format!(
            "<label><input type=\"radio\" name=\"fit\" value=\"{index}\"{checked}> {}</label>",
            name(&fit.surveyed.fit.name)
        )
    };
    let choices: String = facts.fits.iter().enumerate().map(choice).collect();
    format!("<div class=\"narrow-only switch\"><fieldset><legend>Lights</legend>{choices}</fieldset></div>\n")
}

/// One fit from the first place.
fn view(facts: &Facts, index: usize, start: usize) -> String {
    let fit = &facts.fits[index];
    let picture = facts.pictures(index).get(start).map_or_else(String::new, |picture| {
        image(
            facts,
            &picture.address(),
            index,
            facts.bearings[start],
            &format!(" id=\"picture-{index}\" draggable=\"false\""),
        )
    });
    let told = &fit.told[start];
    format!(
        "<figure class=\"view\" data-fit=\"{index}\"{shown}>{picture}<figcaption>\
         <p class=\"which\">{name} <span class=\"lamps\" aria-hidden=\"true\" id=\"lamps-{index}\">{lamps}</span> \
         <span class=\"stand {stand}\" id=\"stand-{index}\">{words}</span></p>\
         <p class=\"said\" id=\"said-{index}\">{said}</p></figcaption></figure>\n",
        shown = if index == 0 { " data-shown" } else { "" },
        name = name(&fit.surveyed.fit.name),
        lamps = lamps(told),
        stand = stand_class(told),
        words = told.stand.in_words(),
        said = escaped(&told.said),
    )
}

/// A picture with all that a browser needs to keep its place.
pub(super) fn image(facts: &Facts, address: &str, fit: usize, bearing: Bearing, more: &str) -> String {
    let (wide, high) = facts.visit.pictures.as_ref().map_or((16, 9), |pictures| pictures.size);
    format!(
        "<img src=\"{address}\" width=\"{wide}\" height=\"{high}\" alt=\"The boat at night from {}, {}\"{more}>",
        place(bearing),
        escaped(&facts.fits[fit].surveyed.fit.name),
    )
}

/// The colours made out, as lit discs with their letters.
pub(super) fn lamps(told: &Told) -> String {
    let lamp = |colour: Colour| {
        let letter = colour.letter();
        format!("<span class=\"lamp {}\">{letter}</span>", letter.to_ascii_lowercase())
    };
    if told.shows.is_empty() {
        return "<span class=\"lamp none\">none</span>".into();
    }
    told.shows.iter().map(lamp).collect()
}

pub(super) fn stand_class(told: &Told) -> &'static str {
    use super::sight::Stand;
    match told.stand {
        Stand::Right => "right",
        Stand::Allowed => "allowed",
        Stand::Wrong => "wrong",
        Stand::Unjudged => "unjudged",
    }
}

/// The slider with a step to either side.
fn steer(facts: &Facts, start: usize) -> String {
    let bearing = facts.bearings[start];
    let here = format!("{} ({bearing} degrees)", place(bearing));
    let compare = if facts.fits.len() < 2 {
        ""
    } else {
        "<button type=\"button\" class=\"narrow-only\" id=\"compare\">Hold to compare</button>"
    };
    format!(
        "<div class=\"steer\"><label for=\"way\">You look from</label> <output id=\"here\" for=\"way\">{here}</output>\
         <div class=\"rail\"><button type=\"button\" id=\"back\" aria-label=\"A step anticlockwise\">&#8634;</button>\
         <input type=\"range\" id=\"way\" min=\"0\" max=\"{last}\" step=\"1\" value=\"{start}\" aria-valuetext=\"{here}\">\
         <button type=\"button\" id=\"on\" aria-label=\"A step clockwise\">&#8635;</button></div>{compare}</div>\n",
        last = facts.bearings.len() - 1,
    )
}

fn caption(facts: &Facts) -> String {
    let mut rings = String::from("Outer ring: what must show.");
    let order = ["Next", "Innermost"];
    let only = facts.fits.len() == 1;
    for (index, fit) in facts.fits.iter().enumerate() {
        let which = if only { "Inner ring" } else { order[index.min(1)] };
        rings += &format!(" {which}: {}.", name(&fit.surveyed.fit.name));
    }
    format!(
        "{rings} R red, G green, W white, Y yellow; hatched, <b>no</b>: a light that must show and does not; <b>+</b>: one that must \
         not show and does. Seen from {}: a light too weak for its purpose may still show here. Bow up; right and left are the \
         boat's own.",
        how_far(facts.visit.before.survey.far)
    )
}
