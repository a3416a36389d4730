//! How the panels look: near-black blue, one violet, letters made to be told apart, sizes that follow the window.
//!
//! Signal colours are kept for lights and stand nowhere else. Must never know what is shown.

use std::sync::Arc;

use bevy::color::{ColorToPacked, LinearRgba, Srgba};
use bevy_egui::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Frame, Margin, RichText, Shadow,
    Stroke, Style, TextStyle, Vec2, Visuals,
    style::{HandleShape, WidgetVisuals},
};

use crate::{
    light::Colour,
    night::{
        glare::signal,
        ring::{ACCENT, AMISS},
    },
};

/// Ordinary letters.
pub const INK: Color32 = Color32::from_rgb(0xDC, 0xE1, 0xEE);
/// Letters of less weight; still 7 to 1 against the panel.
pub const DIM: Color32 = Color32::from_rgb(0xA2, 0xAB, 0xC2);
/// Hairlines and empty outlines.
pub const LINE: Color32 = Color32::from_rgb(0x3B, 0x44, 0x5C);
/// The panels' own colour. Nothing shows through, so that nothing need be drawn behind.
const PANEL: Color32 = Color32::from_rgb(0x08, 0x0B, 0x15);
const SOLID: Color32 = Color32::from_rgb(0x0D, 0x11, 0x1E);
/// Letters on a coloured chip.
pub const ON_CHIP: Color32 = Color32::from_rgb(0x06, 0x08, 0x0E);

/// Sizes of letters, in points of a window 720 high.
pub const BODY: f32 = 15.5;
pub const SMALL: f32 = 13.5;
const HEADING: f32 = 19.0;
const FIGURE: f32 = 34.0;

/// A linear colour as egui takes it.
fn tint(colour: LinearRgba) -> Color32 {
    let [red, green, blue, _] = Srgba::from(colour).to_u8_array();
    Color32::from_rgb(red, green, blue)
}

/// The violet of the ring.
pub fn accent() -> Color32 {
    tint(ACCENT)
}

/// The pink of the ring: something is not as it must be.
pub fn amiss() -> Color32 {
    tint(AMISS)
}

/// A light's colour, as on the ring's marks.
pub fn chip_colour(colour: Colour) -> Color32 {
    tint(signal(colour) * 0.85)
}

/// Heavy letters.
pub fn bold_family() -> FontFamily {
    FontFamily::Name("bold".into())
}

pub fn bold(text: impl Into<String>) -> RichText {
    RichText::new(text).family(bold_family())
}

pub fn dim(text: impl Into<String>) -> RichText {
    RichText::new(text).color(DIM)
}

pub fn small(text: impl Into<String>) -> RichText {
    RichText::new(text).size(SMALL).color(DIM)
}

pub fn heading(text: impl Into<String>) -> RichText {
    bold(text).size(HEADING)
}

pub fn figure(text: impl Into<String>) -> RichText {
    bold(text).size(FIGURE)
}

/// A card that panels stand on.
pub fn card() -> Frame {
    Frame::new()
        .fill(PANEL)
        .stroke(Stroke::new(1.0, Color32::from_rgba_unmultiplied_const(0x9F, 0xB0, 0xE0, 0x22)))
        .corner_radius(CornerRadius::same(12))
        .inner_margin(Margin::symmetric(14, 12))
}

/// How many times larger than at 1280 by 720 a window of this size draws its panels. Larger windows give some of
/// their room to the night instead.
pub fn zoom(width: f32, height: f32) -> f32 {
    let least = (width / 1280.0).min(height / 720.0);
    least.max(1.0).powf(0.85)
}

/// Hands egui the letters and the look. What it is handed counts from its next pass on.
pub fn dress(context: &egui::Context) {
    context.set_theme(egui::Theme::Dark);
    context.set_fonts(letters());
    context.all_styles_mut(style);
}

fn letters() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let regular = include_bytes!("../../../assets/fonts/AtkinsonHyperlegible-Regular.ttf");
    let heavy = include_bytes!("../../../assets/fonts/AtkinsonHyperlegible-Bold.ttf");
    fonts.font_data.insert("regular".into(), Arc::new(FontData::from_static(regular)));
    fonts.font_data.insert("heavy".into(), Arc::new(FontData::from_static(heavy)));
    let fallbacks = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let led_by = |first: &str| std::iter::once(first.to_string()).chain(fallbacks.iter().cloned()).collect();
    fonts.families.insert(FontFamily::Proportional, led_by("regular"));
    fonts.families.insert(bold_family(), led_by("heavy"));
    fonts
}

fn style(style: &mut Style) {
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(SMALL)),
        (TextStyle::Body, FontId::proportional(BODY)),
        (TextStyle::Button, FontId::proportional(BODY)),
        (TextStyle::Monospace, FontId::proportional(BODY)),
        (TextStyle::Heading, FontId::new(HEADING, bold_family())),
    ]
    .into();
    style.spacing.item_spacing = Vec2::new(7.0, 6.0);
    style.spacing.button_padding = Vec2::new(9.0, 4.0);
    style.spacing.interact_size = Vec2::new(30.0, 27.0);
    style.spacing.slider_rail_height = 4.0;
    style.spacing.scroll.bar_width = 6.0;
    style.spacing.scroll.floating = true;
    style.spacing.tooltip_width = 340.0;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.35;
    style.explanation_tooltips = false;
    style.visuals = visuals();
}

fn visuals() -> Visuals {
    let accent = accent();
    let mut visuals = Visuals::dark();
    let worn = |fill: Color32, line: Stroke, letters: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: line,
        fg_stroke: Stroke::new(1.0, letters),
        corner_radius: CornerRadius::same(7),
        expansion: 0.0,
    };
    let veil = |alpha: u8| Color32::from_rgba_unmultiplied(0xA9, 0xB8, 0xE8, alpha);
    visuals.widgets.noninteractive = worn(Color32::TRANSPARENT, Stroke::new(1.0, LINE.gamma_multiply(0.7)), INK);
    visuals.widgets.inactive = worn(veil(26), Stroke::NONE, INK);
    visuals.widgets.hovered = worn(veil(52), Stroke::new(1.0, veil(90)), Color32::WHITE);
    visuals.widgets.active = worn(veil(52), Stroke::new(1.5, accent), Color32::WHITE);
    visuals.widgets.open = worn(veil(40), Stroke::new(1.0, veil(80)), INK);
    // Sliders: a rail that can be seen, and a handle in the accent.
    visuals.widgets.inactive.bg_fill = Color32::from_rgb(0x46, 0x50, 0x70);
    visuals.widgets.hovered.bg_fill = accent;
    visuals.widgets.active.bg_fill = accent;
    visuals.selection.bg_fill = Color32::from_rgb(0x3B, 0x2F, 0x72);
    visuals.selection.stroke = Stroke::new(1.0, Color32::from_rgb(0xF1, 0xEE, 0xFF));
    visuals.hyperlink_color = accent;
    visuals.extreme_bg_color = Color32::from_rgb(0x04, 0x06, 0x0C);
    visuals.window_fill = SOLID;
    visuals.window_stroke = Stroke::new(1.0, LINE);
    visuals.window_corner_radius = CornerRadius::same(10);
    visuals.menu_corner_radius = CornerRadius::same(9);
    visuals.popup_shadow = Shadow { offset: [0, 4], blur: 16, spread: 0, color: Color32::from_black_alpha(140) };
    visuals.handle_shape = HandleShape::Circle;
    visuals.slider_trailing_fill = false;
    visuals.striped = false;
    visuals
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast ratio. Source: WCAG 2.1, definitions of relative luminance and contrast ratio.
    fn contrast(one: Color32, other: Color32) -> f64 {
        let luminance = |colour: Color32| {
            let linear = |value: u8| {
                let share = f64::from(value) / 255.0;
                if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
        };
        let (light, dark) = (luminance(one).max(luminance(other)), luminance(one).min(luminance(other)));
        (light + 0.05) / (dark + 0.05)
    }

    /// Source of 7 to 1: WCAG 2.1, success criterion 1.4.6.
    #[test]
    fn all_letters_stand_out_seven_to_one() {
        for letters in [INK, DIM, accent(), amiss()] {
            assert!(contrast(letters, SOLID) >= 7.0, "{letters:?}: {}", contrast(letters, SOLID));
        }
        for colour in Colour::ALL {
            assert!(contrast(ON_CHIP, chip_colour(colour)) >= 4.5, "{colour}");
        }
    }

    #[test]
    fn letters_grow_with_the_window_and_never_shrink() {
        assert_eq!(zoom(1280.0, 720.0), 1.0);
        assert_eq!(zoom(800.0, 600.0), 1.0);
        assert!(zoom(3840.0, 2160.0) > 2.0);
    }

    /// What is left of a linear colour to an eye that lacks one kind of cone wholly: rows of a matrix on red, green, blue.
    /// Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity
    /// 1.0, as in the data of the colour-science library.
    const LACKING: [(&str, [[f64; 3]; 3]); 3] = [
        ("long", [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
        ("middle", [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
        ("short", [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
    ];

    /// CIELAB of a colour as such an eye has it. Sources: IEC 61966-2-1 (sRGB to XYZ, white D65), CIE 15 (CIELAB).
    fn lab(colour: Color32, lacking: &[[f64; 3]; 3]) -> [f64; 3] {
        let linear = |value: u8| {
            let share = f64::from(value) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        let by = |rows: &[[f64; 3]; 3], v: [f64; 3]| rows.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);
        let seen = by(lacking, [colour.r(), colour.g(), colour.b()].map(linear)).map(|part| part.clamp(0.0, 1.0));
        let to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
        let xyz = by(&to_xyz, seen);
        let root = |share: f64| if share > 0.008856 { share.cbrt() } else { 7.787 * share + 16.0 / 116.0 };
        let [x, y, z] = [xyz[0] / 0.9505, xyz[1], xyz[2] / 1.089].map(root);
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    fn apart(one: Color32, other: Color32, lacking: &[[f64; 3]; 3]) -> f64 {
        let (a, b) = (lab(one, lacking), lab(other, lacking));
        a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
    }

    /// A just told difference is about 2.3; ten times that is told at a glance (the program's own figure).
    #[test]
    fn what_is_right_and_what_is_amiss_are_told_apart_by_eyes_that_lack_a_kind_of_cone() {
        let palette = [("ink", INK), ("accent", accent()), ("amiss", amiss()), ("line", LINE), ("ground", SOLID)];
        for (lacking, matrix) in &LACKING {
            for (n, (name, colour)) in palette.iter().enumerate() {
                for (other_name, other) in &palette[n + 1..] {
                    let apart = apart(*colour, *other, matrix);
                    assert!(apart >= 20.0, "{name} and {other_name} without {lacking} cones: {apart:.1}");
                }
            }
        }
    }

    /// Signal colours are the rules' own and cannot be chosen: what keeps them apart for every eye is their letter.
    #[test]
    fn every_signal_colour_has_a_letter_of_its_own() {
        let letters: std::collections::BTreeSet<char> = Colour::ALL.into_iter().map(Colour::letter).collect();
        assert_eq!(letters.len(), Colour::ALL.len());
    }
}
