//! Colours, fonts and widget style: the only file that makes a colour.

use std::sync::Arc;

use eframe::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle,
    Theme,
};

/// Colours by what they are for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Palette {
    /// Behind drawings.
    pub ground: Color32,
    /// Behind panels.
    pub panel: Color32,
    /// Buttons, fields, the chosen phase.
    pub field: Color32,
    /// Text.
    pub ink: Color32,
    /// Second-rank text.
    pub dim: Color32,
    /// Drawing strokes.
    pub chalk: Color32,
    /// What can be dragged or pressed next.
    pub accent: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// Upper links.
    pub upper: Color32,
    /// Lower links.
    pub lower: Color32,
    /// Instant centre and roll centre.
    pub centre: Color32,
    /// The 100 % line.
    pub hundred: Color32,
    /// In band, passed.
    pub good: Color32,
    /// Out of band, failed.
    pub bad: Color32,
    /// A link that is pulled.
    pub pull: Color32,
    /// A link that is pushed.
    pub push: Color32,
    /// The target band's shade.
    pub band: Color32,
    /// Foot grid and quiet rules.
    pub grid: Color32,
    /// Low end of a scale.
    pub little: Color32,
    /// Its middle.
    pub middling: Color32,
    /// Its high end.
    pub much: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// White paper, for the sheet preview.
pub const PAPER: Color32 = Color32::WHITE;

/// A paper ink on screen.
pub const fn paper_ink([r, g, b]: [u8; 3]) -> Color32 {
    Color32::from_rgb(r, g, b)
}

const DARK: Palette = Palette {
    ground: rgb(0x26_2c_30),
    panel: rgb(0x2e_35_3a),
    field: rgb(0x3a_42_48),
    ink: rgb(0xf2_ef_e6),
    dim: rgb(0xb3_b6_b1),
    chalk: rgb(0xe9_e5_d8),
    accent: rgb(0xf0_a2_02),
    on_accent: rgb(0x1b_1f_22),
    upper: rgb(0x56_b4_e9),
    lower: rgb(0xf0_e4_42),
    centre: rgb(0xff_9d_76),
    hundred: rgb(0xd9_8f_c0),
    good: rgb(0x3e_cf_9a),
    bad: rgb(0xff_7f_50),
    pull: rgb(0x56_b4_e9),
    push: rgb(0xe8_8f_c8),
    band: rgb(0x2f_5a_4d),
    grid: rgb(0x36_3d_42),
    little: rgb(0x2f_7f_b8),
    middling: rgb(0xe8_dc_a0),
    much: rgb(0xe8_5c_1a),
};

const LIGHT: Palette = Palette {
    ground: rgb(0xf6_f3_ea),
    panel: rgb(0xeb_e7_db),
    field: rgb(0xdc_d7_c8),
    ink: rgb(0x22_28_2c),
    dim: rgb(0x55_5d_61),
    chalk: rgb(0x39_43_4a),
    accent: rgb(0x9c_56_00),
    on_accent: rgb(0xff_ff_ff),
    upper: rgb(0x00_72_b2),
    lower: rgb(0x7a_6a_00),
    centre: rgb(0xb4_3a_08),
    hundred: rgb(0xa3_36_7e),
    good: rgb(0x00_6b_49),
    bad: rgb(0xb8_2f_09),
    pull: rgb(0x00_63_9c),
    push: rgb(0x9c_2f_78),
    band: rgb(0xc3_e0_d1),
    grid: rgb(0xe6_e1_d3),
    little: rgb(0x3a_86_bd),
    middling: rgb(0xe2_c7_4e),
    much: rgb(0xc8_45_08),
};

impl Palette {
    /// The palette of a theme.
    pub const fn of(theme: Theme) -> Self {
        match theme {
            Theme::Dark => DARK,
            Theme::Light => LIGHT,
        }
    }

    /// From little to much, 0 to 1: blue over a pale middle to vermilion, so that both ends tell apart without red and
    /// green (after Okabe and Ito); the edges' width is its second cue.
    pub fn heat(&self, share: f32) -> Color32 {
        let share = share.clamp(0.0, 1.0);
        if share < 0.5 {
            self.little.lerp_to_gamma(self.middling, 2.0 * share)
        } else {
            self.middling.lerp_to_gamma(self.much, 2.0 * share - 1.0)
        }
    }

    /// A colour at part strength over the ground.
    pub fn faint(&self, colour: Color32, share: f32) -> Color32 {
        self.ground.lerp_to_gamma(colour, share)
    }
}

/// Bold text: a family of its own, as egui has it.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// Plain text.
pub fn plain(size: f32) -> FontId {
    FontId::proportional(size)
}

macro_rules! font {
    ($file:literal) => {
        Arc::new(FontData::from_static(include_bytes!(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../assets/fonts/",
            $file
        ))))
    };
}

/// Installs fonts and both themes' styles.
pub fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::empty();
    fonts
        .font_data
        .insert("text".into(), font!("B612-Regular.otf"));
    fonts
        .font_data
        .insert("bold".into(), font!("B612-Bold.otf"));
    fonts
        .font_data
        .insert("symbols".into(), font!("DejaVuSansCondensed.ttf"));
    fonts
        .font_data
        .insert("bold symbols".into(), font!("DejaVuSansCondensed-Bold.ttf"));
    let text = vec!["text".to_owned(), "symbols".to_owned()];
    fonts
        .families
        .insert(FontFamily::Proportional, text.clone());
    fonts.families.insert(FontFamily::Monospace, text);
    fonts.families.insert(
        FontFamily::Name("bold".into()),
        vec!["bold".to_owned(), "bold symbols".to_owned()],
    );
    ctx.set_fonts(fonts);
    for theme in [Theme::Dark, Theme::Light] {
        ctx.style_mut_of(theme, |style| dress(style, &Palette::of(theme)));
    }
}

fn dress(style: &mut egui::Style, p: &Palette) {
    style.text_styles = [
        (TextStyle::Small, plain(11.0)),
        (TextStyle::Body, plain(13.0)),
        (TextStyle::Button, plain(13.0)),
        (TextStyle::Monospace, plain(13.0)),
        (TextStyle::Heading, bold(15.0)),
    ]
    .into();
    style.spacing.item_spacing = egui::vec2(8.0, 6.0);
    style.spacing.button_padding = egui::vec2(10.0, 4.0);
    style.interaction.tooltip_delay = 0.35;
    // The scroll bar stands beside the text, not over it.
    style.spacing.scroll.floating_allocated_width = 7.0;
    let v = &mut style.visuals;
    v.panel_fill = p.panel;
    v.window_fill = p.panel;
    v.extreme_bg_color = p.ground;
    v.faint_bg_color = p.ground.lerp_to_gamma(p.panel, 0.5);
    v.override_text_color = None;
    v.hyperlink_color = p.accent;
    v.warn_fg_color = p.bad;
    v.error_fg_color = p.bad;
    v.weak_text_color = Some(p.dim);
    v.window_stroke = Stroke::new(1.0, p.dim);
    v.selection.bg_fill = p.panel.lerp_to_gamma(p.accent, 0.45);
    v.selection.stroke = Stroke::new(1.0, p.ink);
    v.popup_shadow = egui::Shadow::NONE;
    v.window_shadow = egui::Shadow::NONE;
    let radius = CornerRadius::same(4);
    for (w, fill, line) in [
        (&mut v.widgets.noninteractive, p.panel, p.field),
        (&mut v.widgets.inactive, p.field, p.field),
        (&mut v.widgets.hovered, p.field, p.accent),
        (
            &mut v.widgets.active,
            p.panel.lerp_to_gamma(p.accent, 0.4),
            p.accent,
        ),
        (&mut v.widgets.open, p.field, p.dim),
    ] {
        w.bg_fill = fill;
        w.weak_bg_fill = fill;
        w.bg_stroke = Stroke::new(1.0, line);
        w.fg_stroke = Stroke::new(1.0, p.ink);
        w.corner_radius = radius;
        w.expansion = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG 2.1 relative luminance and contrast ratio.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let channel = |v: u8| {
                let s = f64::from(v) / 255.0;
                if s <= 0.039_28 {
                    s / 12.92
                } else {
                    ((s + 0.055) / 1.055).powf(2.4)
                }
            };
            0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
        };
        let (hi, lo) = (
            luminance(a).max(luminance(b)),
            luminance(a).min(luminance(b)),
        );
        (hi + 0.05) / (lo + 0.05)
    }

    #[test]
    fn text_keeps_four_and_a_half_to_one() {
        for p in [DARK, LIGHT] {
            for ground in [p.ground, p.panel] {
                for text in [
                    p.ink, p.dim, p.accent, p.good, p.bad, p.centre, p.hundred, p.pull, p.push,
                ] {
                    let c = contrast(text, ground);
                    let least = 4.5;
                    assert!(c >= least, "{text:?} on {ground:?}: {c:.2}");
                }
            }
            assert!(contrast(p.ink, p.field) >= 4.5);
            assert!(contrast(p.on_accent, p.accent) >= 4.5);
        }
    }
}
