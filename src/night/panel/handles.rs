//! The handles of what is chosen, over the night and under the cards. Takes the [`Grip`]; must never move anything.

use bevy_egui::egui::{
    self, Align2, Color32, FontFamily, FontId, Id, LayerId, Order, Painter, Pos2, Shape, Stroke, pos2, vec2,
};

use super::cloth;
use crate::{
    boat::Scene,
    night::{Caught, Grip, Handle, Hold},
};

/// Draws them, with the name of what they belong to.
pub fn show(context: &egui::Context, grip: &Grip, name: &str, scene: &Scene) {
    // The picture counts in the window's points, the panels in their own.
    let zoom = context.zoom_factor();
    let at = |place: bevy::math::Vec2| pos2(place.x, place.y) / zoom;
    let painter = context.layer_painter(LayerId::new(Order::Background, Id::new("handles")));
    let held = grip.held();
    let lit = held.map(|(handle, _)| *handle).or(grip.over);
    for handle in &grip.handles {
        let is_lit = lit.is_some_and(|lit| (lit.thing, lit.hold) == (handle.thing, handle.hold));
        if held.is_some() && !is_lit {
            continue;
        }
        one(&painter, handle, at(handle.from), at(handle.to), is_lit);
    }
    let Some(first) = grip.handles.first() else { return };
    let words = match (held, grip.over) {
        (Some((handle, caught)), _) => match caught {
            Some(caught) => caught_in_words(caught, scene),
            None => format!("{name}: {}", handle.hold.in_words()),
        },
        (None, Some(over)) => format!("{name}: {}", over.hold.in_words()),
        (None, None) => name.to_string(),
    };
    // Below whatever points down.
    let lowest = grip.handles.iter().map(|handle| at(handle.to).y).fold(at(first.from).y, f32::max);
    let place = pos2(at(first.from).x, lowest + 24.0);
    let font = FontId::new(cloth::SMALL, FontFamily::Proportional);
    let galley = painter.layout_no_wrap(words, font, cloth::INK);
    let back = Align2::CENTER_CENTER.anchor_size(place, galley.size() + vec2(12.0, 4.0));
    painter.rect_filled(back, 4.0, Color32::from_black_alpha(185));
    painter.galley(back.min + vec2(6.0, 2.0), galley, cloth::INK);
}

fn caught_in_words(caught: Caught, scene: &Scene) -> String {
    match caught {
        Caught::Centreline => "on the centreline".into(),
        Caught::Deck => "on deck".into(),
        Caught::Bar(part) => scene.parts.get(part).map_or_else(String::new, |part| format!("over {}", part.name)),
        Caught::Parallel => "parallel with the centreline".into(),
    }
}

fn one(painter: &Painter, handle: &Handle, from: Pos2, to: Pos2, lit: bool) {
    let colour = if lit { Color32::WHITE } else { cloth::accent() };
    // A dark edge keeps it apart from whatever lies behind.
    let dark = Color32::from_black_alpha(150);
    let wide = if lit { 3.0 } else { 2.0 };
    match handle.hold {
        Hold::Forward | Hold::Athwart | Hold::Up => {
            let way = (to - from).normalized();
            let side = way.rot90();
            let head = |size: f32| {
                vec![
                    to + way * size,
                    to - way * size * 0.6 + side * size * 0.7,
                    to - way * size * 0.6 - side * size * 0.7,
                ]
            };
            let start = from + (to - from) * 0.2;
            painter.line_segment([start, to], Stroke::new(wide + 2.5, dark));
            painter.add(Shape::convex_polygon(head(9.5), dark, Stroke::NONE));
            painter.line_segment([start, to], Stroke::new(wide, colour));
            painter.add(Shape::convex_polygon(head(8.0), colour, Stroke::NONE));
        }
        Hold::Deck => {
            let corners = |size: f32| {
                [vec2(0.0, -size), vec2(size, 0.0), vec2(0.0, size), vec2(-size, 0.0)].map(|off| from + off).to_vec()
            };
            painter.add(Shape::closed_line(corners(8.0), Stroke::new(wide + 2.5, dark)));
            painter.add(Shape::closed_line(corners(8.0), Stroke::new(wide, colour)));
        }
        Hold::Turn => {
            painter.circle_stroke(to, 7.0, Stroke::new(wide + 2.5, dark));
            painter.circle_stroke(to, 7.0, Stroke::new(wide, colour));
            painter.circle_filled(to, 2.2, colour);
        }
    }
}
