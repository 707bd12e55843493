//! A car without coil-overs: what to do first.

use build::{Build, Coilover, Edit, Place, Sides};
use eframe::egui::{self, Ui, vec2};
use units::{Angle, Length, SpringRate};

use crate::ui::bench::{Bench, Tray};
use crate::ui::theme::bold;

/// Ride frequency that the first pair is chosen for, Hz (street and strip cars 1.2 to 1.6: common practice, no source).
const FREQUENCY: f64 = 1.4;

/// The card over the drawing.
pub fn card(ui: &mut Ui, bench: &Bench<'_>, floor: egui::Rect, tray: &mut Tray) {
    let size = vec2(330.0, 96.0).min(floor.size());
    let place = egui::Align2::RIGHT_TOP.anchor_size(floor.right_top() + vec2(-8.0, 8.0), size);
    let mut card = ui.new_child(egui::UiBuilder::new().max_rect(place));
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .stroke(egui::Stroke::new(1.3, bench.palette.accent))
        .corner_radius(5)
        .inner_margin(10)
        .show(&mut card, |ui| {
            ui.label(egui::RichText::new("No coil-overs yet").font(bold(13.0)));
            ui.label("Nothing holds the car up, so there are no loads. Add a pair, then put in your own.");
            if ui
                .button("Add a pair of coil-overs")
                .on_hover_text("A pair behind the axle, chosen for the weight: drag its eyes, change its numbers in Springs")
                .clicked()
            {
                tray.edit(Edit::PutCoilover(pair(bench.build)));
            }
        });
}

/// A pair that stands behind the axle and holds this car: to be replaced by what is on the bench.
fn pair(b: &Build) -> Coilover {
    let step = 0.25 * 0.0254;
    let tape = |v: f64| Length::from_si((v / step).round() * step);
    let hub = b.car.rear.loaded_radius.si();
    let out = 0.42 * b.rear.housing.width.si();
    let at = |x: f64, y: f64, z: f64| Place {
        station: tape(x),
        offset: tape(y),
        height: tape(z),
    };
    let frame = at(-0.07, out - 0.06, hub + 0.26);
    let axle = at(-0.1, out, (hub - 0.12).max(0.05));
    let (f, a) = (frame.si(), axle.si());
    let long = [0, 1, 2]
        .map(|k| (f[k] - a[k]).powi(2))
        .iter()
        .sum::<f64>()
        .sqrt();
    // Half the rear sprung mass on a spring that moves nearly as the wheel does.
    let mass =
        (0.5 * (b.car.mass.si() * b.car.rear_share.si() - b.power.rear_unsprung.si())).max(50.0);
    let rate = mass * (std::f64::consts::TAU * FREQUENCY).powi(2);
    let pound_per_inch = 4.448_221_615_260_5 / 0.0254;
    let rate = (rate / (5.0 * pound_per_inch)).round() * 5.0 * pound_per_inch;
    Coilover {
        id: "coil".to_owned(),
        label: "rear coil-over".to_owned(),
        sides: Sides::Pair,
        at_frame: frame,
        at_axle: axle,
        rate: SpringRate::from_si(rate),
        spring_free: Length::from_inches(12.0),
        spring_block: Length::from_inches(4.5),
        extended: tape(long + 0.085),
        compressed: tape(long - 0.075),
        eye_tilt: Angle::from_si(12.0_f64.to_radians()),
        preload: None,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    #[test]
    fn the_first_pair_holds_every_sample_up() {
        for (name, text) in crate::SAMPLES {
            let mut b = build::file::parse(text, std::path::Path::new(name)).unwrap();
            b.power.coilovers.clear();
            let mut history = build::History::new(b.clone());
            history.apply(&Edit::PutCoilover(pair(&b))).unwrap();
            let study = build::derive(history.build());
            let reactions = study.launch.reactions.as_ref();
            assert!(reactions.is_ok(), "{name}: {:?}", reactions.err());
            let c = &study.launch.coilovers[0];
            let ride = c.ride.as_ref().unwrap();
            assert!(ride.preload >= 0.0, "{name}: loose at full droop");
            assert!(ride.seat.is_some(), "{name}");
        }
    }
}
