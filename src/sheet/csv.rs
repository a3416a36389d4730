//! The survey as comma-separated values (RFC 4180): one row for each bearing and light.

use super::Surveyed;
use crate::{
    measure::trimmed,
    survey::{LightSurvey, Sample},
};

/// The columns, units in their names. Colours of the far ring are letters: R red, G green, W white, Y yellow, a dash
/// for none.
const HEADER: [&str; 17] = [
    "boat",
    "fit",
    "status",
    "bearing_degrees",
    "lamp",
    "role",
    "colour",
    "rest_candela",
    "bare_candela",
    "worst_candela",
    "worst_case",
    "visible_fraction",
    "hidden_by",
    "range_nm",
    "far_must_show",
    "far_may_show",
    "far_shows",
];

/// One row for each bearing and light of every survey, under one header row; lines end as RFC 4180 says.
pub fn csv(surveys: &[Surveyed]) -> String {
    let mut out = String::new();
    push_row(&mut out, HEADER.map(String::from));
    for surveyed in surveys {
        push_survey(&mut out, surveyed);
    }
    out
}

fn push_survey(out: &mut String, surveyed: &Surveyed) {
    let survey = surveyed.survey;
    for (index, (bearing, shows)) in survey.bearings.iter().zip(survey.far_showings()).enumerate() {
        let expected = surveyed.expected(*bearing);
        for light in &survey.lights {
            let [must, may, shows] = [expected.must, expected.may, shows].map(|colours| colours.letters());
            let head = [
                surveyed.scene.name.clone(),
                surveyed.fit.name.clone(),
                survey.status.key().into(),
                trimmed(bearing.degrees(), 4),
            ];
            let row =
                head.into_iter().chain(light_cells(surveyed, light, &light.samples[index])).chain([must, may, shows]);
            push_row(out, row);
        }
    }
}

fn light_cells(surveyed: &Surveyed, light: &LightSurvey, sample: &Sample) -> [String; 10] {
    let lamp = &surveyed.fit.lamps[light.light.lamp];
    let case = surveyed.survey.cases.get(sample.worst_case).map_or("", |case| case.words.as_str());
    [
        lamp.name.clone(),
        lamp.role.in_words().into(),
        light.colour.name().into(),
        trimmed(sample.rest.0, 4),
        trimmed(sample.bare.0, 4),
        trimmed(sample.worst.0, 4),
        case.into(),
        trimmed(sample.visible, 4),
        surveyed.hidden_by(sample).unwrap_or_default(),
        trimmed(sample.range.0, 3),
    ]
}

fn push_row(out: &mut String, cells: impl IntoIterator<Item = String>) {
    let row: Vec<String> = cells.into_iter().map(|cell| quoted(&cell)).collect();
    out.push_str(&row.join(","));
    out.push_str("\r\n");
}

/// A cell, in double quotes where RFC 4180 section 2 asks for them.
fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\r', '\n']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4180 section 2, points 6 and 7.
    #[test]
    fn commas_quotes_and_line_breaks_are_quoted() {
        assert_eq!(quoted("stanchion"), "stanchion");
        assert_eq!(quoted("rail, port"), "\"rail, port\"");
        assert_eq!(quoted("the \"new\" one"), "\"the \"\"new\"\" one\"");
        assert_eq!(quoted("two\nlines"), "\"two\nlines\"");
    }
}
