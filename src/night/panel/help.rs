//! The list of keys, what the marks on the water mean, and the words of the trade, over everything else.

use bevy_egui::egui::{
    Align2, Area, Color32, Context, CornerRadius, Grid, Id, Key, Label, Margin, Order, RichText, ScrollArea, Sense,
    Shape, Stroke, StrokeKind, Ui, pos2, vec2,
};

use super::{
    cloth::{self, bold, dim, heading, small},
    glossary, marks,
    reading::Stand,
};
use crate::{light::Colour, night::hands::KEYS};

/// Keys of the panels themselves.
const OWN_KEYS: &[(&str, &str)] = &[
    ("P", "panels hidden / shown"),
    ("T", "lessons"),
    ("Tab, Space", "through the panels' buttons; press one. Esc leaves them"),
];

/// What was asked of the list.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    pub close: bool,
    /// To begin the guided walk.
    pub walk: bool,
}

/// Draws the list, and tells what was asked of it. On the pass in which it opens it takes no keys, since the key that
/// opened it is still among them.
pub fn show(context: &Context, just_opened: bool) -> Asked {
    let screen = context.content_rect();
    let (mut close, mut walk) = (false, false);
    Area::new(Id::new("help ground")).fixed_pos(screen.min).order(Order::Foreground).show(context, |ui| {
        let ground = ui.allocate_rect(screen, Sense::click());
        ui.painter().rect_filled(screen, CornerRadius::ZERO, Color32::from_black_alpha(150));
        close |= ground.clicked();
    });
    let area = Area::new(Id::new("help")).anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0)).order(Order::Tooltip);
    area.sense(Sense::click()).show(context, |ui| {
        let frame = cloth::card().fill(Color32::from_rgb(0x0B, 0x0F, 0x1B)).inner_margin(Margin::symmetric(26, 20));
        frame.show(ui, |ui| {
            ui.set_width(920.0_f32.min(screen.width() - 100.0));
            ui.set_max_height(screen.height() - 110.0);
            ui.columns(2, |columns| {
                keys(&mut columns[0], screen.height() - 160.0);
                meanings(&mut columns[1], screen.height() - 160.0);
            });
            ui.add_space(4.0);
            ui.horizontal(|ui| {
                let button = ui.button("Close");
                // While it has the keyboard, the keys of the night rest.
                button.request_focus();
                close |= button.clicked();
                walk |= ui.button("Guided walk").clicked();
                ui.label(small("H, Esc or a click beside it closes this."));
            });
        });
    });
    let struck = context
        .input(|input| [Key::H, Key::Questionmark, Key::Slash, Key::Escape].iter().any(|key| input.key_pressed(*key)));
    Asked { close: !just_opened && (close || walk || struck), walk }
}

fn keys(ui: &mut Ui, room: f32) {
    ui.label(heading("Keys and pointer"));
    ui.add_space(2.0);
    // Nothing in the list is pressed: its rows stand closer than those of buttons.
    ui.spacing_mut().interact_size.y = 18.0;
    ScrollArea::vertical().id_salt("keys").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        Grid::new("keys").num_columns(2).spacing([16.0, 4.0]).show(ui, |ui| {
            for (key, does) in KEYS.iter().chain(OWN_KEYS) {
                ui.label(bold(*key).color(cloth::accent()));
                ui.add(Label::new(*does).wrap());
                ui.end_row();
            }
        });
    });
}

fn meanings(ui: &mut Ui, room: f32) {
    ui.label(heading("On the water"));
    ui.add_space(2.0);
    let mut line = |stand: Option<Stand>, text: &str| {
        ui.horizontal(|ui| {
            match stand {
                Some(stand) => {
                    marks::plain_chip(ui, Colour::White, stand, 26.0);
                }
                None => wedge(ui),
            }
            ui.add(Label::new(text).wrap());
        });
    };
    line(Some(Stand::Shows), "a light that this observer makes out");
    line(Some(Stand::Extra), "it shows and should not");
    line(Some(Stand::Missing), "it must show and does not");
    line(None, "violet wedge: whoever comes up inside it is overtaking, sees only a white light, and keeps clear");
    ui.add_space(4.0);
    ui.label(bold("The band: one stripe for each light, the boat at rest"));
    for (weave, text) in [
        (Weave::Plain, "due, and enough of it for its range; the thin line is all that is due"),
        (Weave::Strokes, "due, and hidden; a wedge leads to the part: point at either"),
        (Weave::Crossed, "due, and dark or too weak: lean, turn, a weak or missing lamp"),
        (Weave::Dots, "shows outside its sector, or is no part of the display"),
    ] {
        ui.horizontal(|ui| {
            swatch(ui, weave);
            ui.add(Label::new(text).wrap());
        });
    }
    ui.add_space(6.0);
    ui.label(heading("Words"));
    ScrollArea::vertical().max_height((room - 400.0).max(100.0)).auto_shrink([false, true]).show(ui, |ui| {
        for (term, meaning) in glossary::GLOSSARY {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0;
                ui.label(RichText::new(*term).family(cloth::bold_family()));
                ui.label(dim(*meaning));
            });
        }
    });
}

/// The patterns of the band.
#[derive(Clone, Copy, PartialEq)]
enum Weave {
    Plain,
    Strokes,
    Crossed,
    Dots,
}

/// A piece of the band, as on the water.
fn swatch(ui: &mut Ui, weave: Weave) {
    let (rect, _) = ui.allocate_exact_size(vec2(40.0, 18.0), Sense::hover());
    let painter = ui.painter_at(rect);
    let light = cloth::chip_colour(Colour::White);
    let ground = if weave == Weave::Plain { light.gamma_multiply(0.45) } else { cloth::ON_CHIP };
    painter.rect_filled(rect, CornerRadius::ZERO, ground);
    let strokes = |slope: f32, colour: Color32| {
        for foot in (-3..6).map(|n| rect.left() + 8.0 * n as f32) {
            let lean = slope * rect.height();
            let from = if slope > 0.0 { foot } else { foot + rect.height() };
            let ends = [pos2(from, rect.bottom()), pos2(from + lean, rect.top())];
            painter.line_segment(ends, Stroke::new(1.8, colour));
        }
    };
    match weave {
        Weave::Plain => {}
        Weave::Strokes => strokes(1.0, cloth::DIM),
        Weave::Crossed => {
            strokes(1.0, cloth::amiss());
            strokes(-1.0, cloth::amiss());
        }
        Weave::Dots => {
            for dot in 0..8u8 {
                let (along, down) =
                    (5.0 + 9.0 * f32::from(dot / 2) + 4.5 * f32::from(dot % 2), 5.5 + 7.0 * f32::from(dot % 2));
                painter.circle_filled(rect.min + vec2(along, down), 2.6, light);
            }
        }
    }
    if weave == Weave::Plain {
        painter.hline(rect.x_range(), rect.top() + 1.0, Stroke::new(2.0, light));
    } else {
        painter.rect_stroke(rect, CornerRadius::ZERO, Stroke::new(1.5, cloth::amiss()), StrokeKind::Inside);
    }
}

/// A little wedge of the violet.
fn wedge(ui: &mut Ui) {
    let (rect, _) = ui.allocate_exact_size(vec2(26.0, 26.0), Sense::hover());
    let points = vec![rect.center_top(), rect.right_bottom(), rect.left_bottom()];
    let line = Stroke::new(1.5, cloth::accent());
    ui.painter().add(Shape::convex_polygon(points, cloth::accent().gamma_multiply(0.3), line));
}
