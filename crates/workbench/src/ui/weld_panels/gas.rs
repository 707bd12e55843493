//! Filler and gas for what is left to weld.

use build::{Edit, GasFill, Process, SupplyRow, WeldEdit, fields};
use eframe::egui::{Grid, RichText, Ui};
use units::Kind;
use weld::consumables::{Supply, WillDo};

use super::super::bench::{Action, Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::typed;
use super::{arcs, bits, common, words};
use crate::command::decimal;

/// The gas's own fields.
const FIELDS: [&str; 10] = [
    "weld_out.gas.flow",
    "weld_out.gas.starts",
    "weld_out.gas.pre_flow",
    "weld_out.gas.post_flow",
    "weld_out.gas.hose_length",
    "weld_out.gas.hose_bore",
    "weld_out.gas.hose_pressure",
    "weld_out.gas.cylinder",
    "weld_out.gas.pressure",
    "weld_out.gas.keep",
];

/// What the panel remembers.
#[derive(Debug, Default)]
pub(super) struct Gas {
    /// Process whose settings are about to be added.
    add: Option<Process>,
}

impl Gas {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        bits::two(
            self,
            ui,
            bench,
            tray,
            "weld gas",
            0.5,
            Self::left_to_weld,
            Self::settings,
        );
    }

    fn left_to_weld(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let supply = &bench.study.weld.supply;
        verdict(ui, bench);
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new("Left to weld").font(bold(13.0)));
            let r = ui
                .button("Copy")
                .accessible_name("Copy what is left to weld");
            if r.clicked() {
                tray.put(Action::Copy {
                    text: table(bench),
                    what: "What is left to weld".to_owned(),
                });
            }
        });
        if supply.rows.is_empty() {
            bits::say(
                ui,
                "Nothing with a known seam is left to weld: draw the tubes, or write the seam length in the fit-up log.",
            );
        }
        for row in &supply.rows {
            left(ui, bench, row);
        }
        let unknown: Vec<&str> = supply
            .unknown
            .iter()
            .filter_map(|i| bench.build.fit_up.joints.get(*i))
            .map(|j| j.label.as_str())
            .collect();
        if !unknown.is_empty() {
            bits::say_in(
                ui,
                bench.palette.accent,
                format!(
                    "Not counted, their seam is not known: {}. Say which parts they join, or write the seam length.",
                    unknown.join("; ")
                ),
            );
        }
        super::cautions(ui, bench);
    }

    fn settings(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        arcs::show(ui, bench, &mut self.add, tray);
        ui.separator();
        common::head(ui, bench, "Gas and cylinder", "");
        ui.horizontal_wrapped(|ui| {
            ui.label("in the cylinder");
            let mut fill = bench.build.weld_out.gas.fill;
            let options = [
                (GasFill::Argon, "argon or a mix of it".to_owned()),
                (GasFill::Helium, "helium or a mix of it".to_owned()),
                (GasFill::CarbonDioxide, "carbon dioxide".to_owned()),
            ];
            if bits::chooser(ui, "Gas in the cylinder", 170.0, &mut fill, &options) {
                bits::edit(tray, WeldEdit::Fill(fill));
            }
        });
        let fill = bench.build.weld_out.gas.fill;
        if fill == GasFill::CarbonDioxide {
            common::caution(
                ui,
                bench,
                "Carbon dioxide is liquid in the cylinder: its gauge shows the same until the last is gone. Weigh the cylinder, and keep it upright.",
            );
        } else {
            common::note(ui, bench, format!("Reckoned as {}.", fill.caution()));
        }
        let pairs = if ui.available_width() > 440.0 { 2 } else { 1 };
        Grid::new("gas fields")
            .num_columns(2 * pairs)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                let all = FIELDS
                    .iter()
                    .filter_map(|id| fields::FIELDS.iter().find(|f| f.id == *id));
                for (n, f) in all.enumerate() {
                    ui.label(f.label).on_hover_text(f.help);
                    let now = (f.get)(bench.build);
                    let salt = ("gas", f.id);
                    let width = bits::FIELD;
                    if let Some(si) =
                        typed::field(ui, bench, salt, f.label, f.kind, now, width, tray)
                    {
                        tray.edit(Edit::Field {
                            id: f.id.to_owned(),
                            si,
                        });
                    }
                    if n % pairs == pairs - 1 {
                        ui.end_row();
                    }
                }
            });
        if let Some(surge) = bench.study.weld.supply.surge {
            common::note(
                ui,
                bench,
                format!(
                    "Each start blows {} out of the hose before the flow settles.",
                    small_gas(bench, surge)
                ),
            );
        }
    }
}

/// A puff of gas.
fn small_gas(bench: &Bench<'_>, cubic_metres: f64) -> String {
    match bench.shop().system {
        units::System::InchPound => format!("{:.0} in³", cubic_metres / 0.0254_f64.powi(3)),
        units::System::Si => format!("{:.2} L", cubic_metres * 1000.0),
    }
}

/// Whether the cylinder will do, large, and how far it goes.
fn verdict(ui: &mut Ui, bench: &Bench<'_>) {
    let p = bench.palette;
    let supply = &bench.study.weld.supply;
    let gas = match &supply.gas {
        Ok(gas) => gas,
        Err(why) => {
            ui.label(RichText::new("Gas").font(bold(13.0)));
            bits::say(ui, format!("No answer: {}.", why.show(bench.shop())));
            return;
        }
    };
    let (text, colour) = match gas.will_do {
        WillDo::Yes => ("Yes: the cylinder will finish the weld-out", p.good),
        WillDo::Tight => ("Tight: it may just finish the weld-out", p.accent),
        WillDo::No => ("No: the cylinder will not finish the weld-out", p.bad),
    };
    let label = RichText::new(text).font(bold(16.0)).color(colour);
    ui.add(eframe::egui::Label::new(label).wrap());
    bits::say(ui, endurance(bench, gas));
    if gas.will_do != WillDo::Yes {
        bits::say(ui, "Have another cylinder chained up before you start.");
    }
}

fn endurance(bench: &Bench<'_>, gas: &Supply) -> String {
    let shop = bench.shop();
    let e = &gas.endurance;
    let mut left = Vec::new();
    if let Some(t) = e.arc_time {
        left.push(format!("{} of arc", words::minutes(t)));
    }
    if let Some(n) = e.starts {
        left.push(format!("{n:.0} starts"));
    }
    if let Some(m) = e.seam {
        left.push(format!("{} of seam", words::run(m, shop)));
    }
    let far = if left.is_empty() {
        String::new()
    } else {
        format!(" It goes for {}.", left.join(", "))
    };
    format!(
        "{} of use in it; what is left to weld needs {}, for {} of arc.{far}",
        words::gas(gas.usable, shop),
        words::gas(gas.need, shop),
        words::minutes(bench.study.weld.supply.arc_time)
    )
}

/// What one process has left to do.
fn left(ui: &mut Ui, bench: &Bench<'_>, row: &SupplyRow) {
    let shop = bench.shop();
    ui.label(
        RichText::new(format!(
            "{}: {}",
            words::process(row.process),
            words::some(row.joints as u64, "joint")
        ))
        .font(bold(12.5)),
    );
    let mut pairs: Vec<(&str, String)> = vec![("seam, every pass", words::run(row.seam, shop))];
    if let Some(f) = &row.filler {
        pairs.push(("weld metal", words::mass(f.metal, shop)));
        pairs.push(("wire or rod used", words::mass(f.consumed, shop)));
    }
    if let Some(w) = row.wire {
        pairs.push(("length of it", words::run(w, shop)));
    }
    if let Some(n) = row.rods {
        pairs.push(("rods", format!("{n:.0}")));
    }
    if let Some(t) = row.arc_time {
        pairs.push(("arc time", words::minutes(t)));
    }
    pairs.push(("starts", format!("{:.0}", row.starts)));
    if let Some(q) = row.net_heat {
        pairs.push(("heat into the work", bench.show(Kind::HeatInput, q)));
    }
    Grid::new(("left to weld", words::process(row.process)))
        .num_columns(2)
        .spacing([14.0, 2.0])
        .show(ui, |ui| {
            for (word, value) in pairs {
                ui.label(
                    RichText::new(word)
                        .font(plain(12.0))
                        .color(bench.palette.dim),
                );
                ui.label(RichText::new(value).font(plain(12.5)));
                ui.end_row();
            }
        });
    if let Some(why) = &row.missing {
        let text = format!("! {}.", why.show(shop));
        bits::say_in(ui, bench.palette.accent, text);
    }
}

/// What is left to weld, for a spreadsheet.
fn table(bench: &Bench<'_>) -> String {
    let shop = bench.shop();
    let length = units::unit_name(Kind::Length, shop);
    let mass = units::unit_name(Kind::Mass, shop);
    let mut out = format!(
        "Process\tJoints\tSeam, {length}\tWeld metal, {mass}\tWire or rod, {mass}\tWire or rod, {length}\tRods\tArc time, s\tStarts\n"
    );
    let number = |kind: Kind, v: Option<f64>| v.map(|v| decimal(kind, v, shop)).unwrap_or_default();
    for r in &bench.study.weld.supply.rows {
        let filler = r.filler.as_ref();
        out += &format!(
            "{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{:.0}\n",
            words::process(r.process),
            r.joints,
            number(Kind::Length, Some(r.seam)),
            number(Kind::Mass, filler.map(|f| f.metal)),
            number(Kind::Mass, filler.map(|f| f.consumed)),
            number(Kind::Length, r.wire),
            r.rods.map(|n| format!("{n:.0}")).unwrap_or_default(),
            number(Kind::Time, r.arc_time),
            r.starts
        );
    }
    out
}
