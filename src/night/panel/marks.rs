//! The small drawn things: chips of the signal colours with their letters, marks of severity, the bearing card, and
//! buttons with their keys. Signal colours come in here and stay in chips.

use std::sync::Arc;

use bevy_egui::egui::{
    Align2, Button, Color32, FontId, Galley, Painter, Pos2, Rect, RectAlign, Response, RichText, Sense, Shape, Stroke,
    StrokeKind, TextStyle, TextWrapMode, Tooltip, Ui, Vec2, WidgetInfo, WidgetText, WidgetType, pos2, vec2,
};

use super::{
    cloth::{self, bold_family},
    reading::Stand,
    words::Outcome,
};
use crate::{
    light::Colour,
    measure::{self, Bearing},
    rules::Severity,
};

/// A chip: a disc of the colour with its letter. What shows and should not wears a ring; what is missing is hollow
/// and struck through, as on the water.
pub fn chip(ui: &mut Ui, colour: Colour, stand: Stand, size: f32) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(size), Sense::hover());
    let told = told(colour, stand);
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Label, true, &told));
    paint_chip(ui.painter(), rect.center(), colour, stand, size);
    response.on_hover_text(told)
}

/// The same as a picture only, for tables and legends.
pub fn plain_chip(ui: &mut Ui, colour: Colour, stand: Stand, size: f32) {
    let (rect, _) = ui.allocate_exact_size(Vec2::splat(size), Sense::hover());
    paint_chip(ui.painter(), rect.center(), colour, stand, size);
}

/// A small chip and a name beside it, cut to the cell.
pub fn paint_light(ui: &Ui, cell: Rect, colour: Colour, stand: Stand, name: RichText) {
    paint_chip(ui.painter(), cell.left_center() + vec2(10.0, 0.0), colour, stand, 21.0);
    cut_text(ui, cell.left_center() + vec2(25.0, 0.0), cell.width() - 25.0, name);
}

fn told(colour: Colour, stand: Stand) -> String {
    match stand {
        Stand::Shows => format!("{colour} shows"),
        Stand::Extra => format!("{colour} shows and should not"),
        Stand::Missing => format!("{colour} must show and does not"),
        Stand::Dark => format!("{colour} does not show"),
    }
}

fn paint_chip(painter: &Painter, centre: Pos2, colour: Colour, stand: Stand, size: f32) {
    let radius = size * 0.42;
    let tint = cloth::chip_colour(colour);
    let (letter, line) = match stand {
        Stand::Missing => (tint, Some(tint)),
        Stand::Dark => (tint.gamma_multiply(0.75), Some(tint.gamma_multiply(0.55))),
        Stand::Shows | Stand::Extra => (cloth::ON_CHIP, None),
    };
    match line {
        Some(tint) => painter.circle_stroke(centre, radius, Stroke::new(size * 0.05, tint)),
        None => painter.circle_filled(centre, radius, tint),
    };
    painter.text(centre, Align2::CENTER_CENTER, colour.letter(), FontId::new(size * 0.52, bold_family()), letter);
    match stand {
        Stand::Extra => {
            painter.circle_stroke(centre, radius + size * 0.07, Stroke::new(size * 0.07, cloth::amiss()));
        }
        Stand::Missing => {
            let corner = Vec2::new(radius, -radius) * 0.95;
            painter.line_segment([centre - corner, centre + corner], Stroke::new(size * 0.07, cloth::amiss()));
        }
        Stand::Shows | Stand::Dark => {}
    }
}

/// A tick, a cross or an open ring.
pub fn outcome(ui: &mut Ui, outcome: Outcome, size: f32) {
    let (rect, _) = ui.allocate_exact_size(Vec2::splat(size), Sense::hover());
    paint_outcome(ui.painter(), rect, outcome);
}

pub fn paint_outcome(painter: &Painter, rect: Rect, outcome: Outcome) {
    let size = rect.width();
    let at = |x: f32, y: f32| rect.min + vec2(x, y) * size;
    match outcome {
        Outcome::Right => {
            let line = Stroke::new(size * 0.14, cloth::accent());
            painter.add(Shape::line(vec![at(0.14, 0.55), at(0.4, 0.8), at(0.88, 0.22)], line));
        }
        Outcome::Wrong => {
            let line = Stroke::new(size * 0.14, cloth::amiss());
            painter.line_segment([at(0.2, 0.2), at(0.8, 0.8)], line);
            painter.line_segment([at(0.8, 0.2), at(0.2, 0.8)], line);
        }
        Outcome::Open => {
            painter.circle_stroke(rect.center(), size * 0.28, Stroke::new(size * 0.1, cloth::DIM));
        }
    }
}

/// A full diamond for a fault, a hollow triangle for a caution, a dot for a note; the word stands beside it.
pub fn paint_severity(painter: &Painter, centre: Pos2, severity: Severity, size: f32) {
    let half = size / 2.0;
    match severity {
        Severity::Fault => {
            let corners = [vec2(0.0, -half), vec2(half, 0.0), vec2(0.0, half), vec2(-half, 0.0)];
            let points = corners.map(|corner| centre + corner).to_vec();
            painter.add(Shape::convex_polygon(points, cloth::amiss(), Stroke::NONE));
        }
        Severity::Caution => {
            let corners = [vec2(0.0, -half * 0.9), vec2(half * 0.95, half * 0.75), vec2(-half * 0.95, half * 0.75)];
            let points = corners.map(|corner| centre + corner).to_vec();
            painter.add(Shape::closed_line(points, Stroke::new(1.7, cloth::amiss())));
        }
        Severity::Note => {
            painter.circle_filled(centre, half * 0.45, cloth::DIM);
        }
    }
}

/// The boat from above, bow up, the overtaking sector behind her and the observer on his bearing.
pub fn bearing_card(ui: &mut Ui, bearing: Bearing, overtaking: Option<measure::Arc>, size: f32) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(size), Sense::hover());
    let painter = ui.painter();
    let (centre, radius) = (rect.center(), size * 0.43);
    let way = |bearing: Bearing| {
        let direction = bearing.direction();
        vec2(-direction.y as f32, -direction.x as f32)
    };
    if let Some(arc) = overtaking {
        let mut points = vec![centre];
        points.extend((0..=24).map(|step| centre + way(arc.from.turned(arc.width * f64::from(step) / 24.0)) * radius));
        painter.add(Shape::convex_polygon(points, cloth::accent().gamma_multiply(0.22), Stroke::NONE));
        for edge in [arc.from, arc.to()] {
            painter.line_segment([centre, centre + way(edge) * radius], Stroke::new(1.2, cloth::accent()));
        }
    }
    painter.circle_stroke(centre, radius, Stroke::new(1.2, cloth::LINE));
    for quarter in 0..4 {
        let out = way(Bearing::new(90.0 * f64::from(quarter)));
        painter.line_segment([centre + out * radius * 0.88, centre + out * radius], Stroke::new(1.4, cloth::DIM));
    }
    painter.add(Shape::convex_polygon(
        hull(centre, radius),
        Color32::from_rgb(0x2A, 0x31, 0x47),
        Stroke::new(1.2, cloth::DIM),
    ));
    let place = centre + way(bearing) * radius;
    painter.line_segment([centre, place], Stroke::new(1.4, cloth::INK));
    painter.circle_filled(place, size * 0.065, cloth::accent());
    painter.circle_stroke(place, size * 0.065, Stroke::new(1.0, cloth::ON_CHIP));
    response
}

fn hull(centre: Pos2, radius: f32) -> Vec<Pos2> {
    let side = [(0.0, -0.62), (0.12, -0.42), (0.2, -0.12), (0.21, 0.2), (0.17, 0.5)];
    let other = side.iter().skip(1).rev().map(|(x, y)| (-x, *y));
    side.iter().copied().chain(other).map(|(x, y)| centre + vec2(x, y) * radius).collect()
}

/// A button that stays down while its thing is so, with its key beside its name.
pub fn switch(ui: &mut Ui, on: bool, name: &str, key: &str) -> Response {
    let key_colour = if on { cloth::INK } else { cloth::DIM };
    let parts = (RichText::new(name), RichText::new(key).size(cloth::SMALL - 1.0).color(key_colour));
    let button = Button::selectable(on, parts).frame_when_inactive(true);
    ui.add(button)
}

/// The same without a key.
pub fn plain_switch(ui: &mut Ui, on: bool, name: &str) -> Response {
    ui.add(Button::selectable(on, name).frame_when_inactive(true))
}

/// A note to the right of a row, where it hides none of the rows below.
pub fn beside(response: &Response, contents: impl FnOnce(&mut Ui)) {
    let mut note = Tooltip::for_enabled(response).gap(20.0);
    note.popup = note.popup.align(RectAlign::RIGHT_START);
    note.show(contents);
}

/// A row of full breadth that can be clicked; paints its ground and gives its rectangle.
pub fn row(ui: &mut Ui, height: f32, chosen: bool, label: &str) -> (Rect, Response) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    response.widget_info(|| WidgetInfo::selected(WidgetType::Button, true, chosen, label));
    let visuals = ui.style().interact_selectable(&response, chosen);
    let fill =
        if chosen || response.hovered() || response.has_focus() { visuals.weak_bg_fill } else { Color32::TRANSPARENT };
    let line = if response.has_focus() { Stroke::new(1.5, cloth::accent()) } else { Stroke::NONE };
    ui.painter().rect(rect, 8.0, fill, line, StrokeKind::Inside);
    (rect, response)
}

/// Text laid out to a width, in as many lines as it needs.
pub fn wrapped(ui: &Ui, width: f32, text: RichText) -> Arc<Galley> {
    WidgetText::from(text).into_galley(ui, Some(TextWrapMode::Wrap), width, TextStyle::Body)
}

/// Text in a painter, cut with dots where it does not fit.
pub fn cut_text(ui: &Ui, at: Pos2, width: f32, text: RichText) -> Rect {
    let galley = WidgetText::from(text).into_galley(ui, Some(TextWrapMode::Truncate), width, TextStyle::Body);
    let size = galley.size();
    let place = pos2(at.x, at.y - size.y / 2.0);
    ui.painter().galley(place, galley, cloth::INK);
    Rect::from_min_size(place, size)
}
