//! The brakes on paper: every part in its line, how to bleed, what locks first, where the travel goes.

mod drawing;
mod tables;

use build::{Build, Study};
use units::{Kind, Shop, format};

use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::Paper;
use crate::parts::words::Words;
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;
use crate::welding::nothing;

pub(crate) use tables::{all, readings};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Brake circuit";
const CAUTION: &str = "Prove the brakes at walking pace before anything else, wheels chocked while you bleed and test. Never two \
    residual valves in a line. A locked rear axle spins the car. No cooling and no fade is in these sums. A licensed inspection \
    and the local vehicle code decide, not this sheet.";

/// Head and foot of a sheet of the rolling chassis.
pub(crate) fn setup(
    title: &str,
    phase: &str,
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> SheetSetup {
    let unit = Words::new(*shop).unit_in_full();
    SheetSetup {
        paper,
        title: title.into(),
        subtitle: subtitle(build, date, &format!("lengths in {unit}")),
        knots: knots(study, phase),
        footer: "Computed from the build file; measure on the car. Not an approval.".into(),
    }
}

/// Findings whose field begins with this, a line each.
pub(crate) fn remarks(
    sheet: &mut Composer,
    study: &Study,
    shop: &Shop,
    of: &str,
) -> Result<(), SheetError> {
    let found: Vec<String> = study
        .findings
        .iter()
        .filter(|f| f.part.to_string().starts_with(of))
        .map(|f| format!("{}: {}", f.severity.word(), f.sentences(shop)))
        .collect();
    if found.is_empty() {
        return Ok(());
    }
    sheet.section("To put right", "");
    for line in found {
        sheet.paragraph(&line)?;
    }
    Ok(())
}

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn brake_circuit(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut sheet = Composer::new(setup(TITLE, "plumbing", build, study, shop, paper, date));
    match (&build.brakes, &study.brakes) {
        (Some(brakes), Some(s)) => {
            sheet.caution(CAUTION)?;
            sheet.section("From pedal to wheel", "every part in its line");
            let rows = if s.circuit.parking.is_some() {
                3.0
            } else {
                2.0
            };
            sheet.draw(drawing::ROW * rows, |c| drawing::draw(c, s, shop))?;
            sheet.section(
                "Residual valves",
                "2 psi disc, 10 psi drum: common practice, no source",
            );
            sheet.table(&tables::valves(s, shop))?;
            if let Ok(x) = &s.balance {
                let foot = format(Kind::Force, x.at_foot.pedal_force, shop);
                sheet.section(
                    "First lock",
                    &format!("tyre friction by surface; foot force looked at {foot}"),
                );
                sheet.table(&tables::first_lock(x, shop))?;
            }
            if let Ok(t) = &s.travel {
                let force = format(Kind::Force, t.pedal, shop);
                sheet.section("Pedal travel", &format!("at {force} at the pad"));
                sheet.table(&tables::travel(t, shop))?;
            }
            if let Some(Ok(p)) = &s.parking {
                let grade = brakes.parking.map_or(0.0, |p| p.grade.si());
                sheet.section(
                    "Parking",
                    &format!("asked to hold {}", format(Kind::Slope, grade, shop)),
                );
                sheet.table(&tables::parking(p, shop))?;
            }
            sheet.section("One stop", "no cooling, no fade");
            sheet.table(&tables::readings(
                study,
                shop,
                &[
                    "brakes.stop_distance",
                    "brakes.rotor_rise.front",
                    "brakes.rotor_rise.rear",
                ],
            ))?;
            sheet.section(
                "To bleed",
                "common practice, no source; the maker's order goes first",
            );
            for line in BLEED {
                sheet.paragraph(line)?;
            }
            remarks(&mut sheet, study, shop, "brakes")?;
            sheet.signs(&[
                "bled by, date",
                "pedal held one minute",
                "proven at walking pace",
            ])?;
        }
        _ => {
            nothing(
                &mut sheet,
                "No brakes are laid out",
                "Lay the brakes out in the plumbing phase, then print this sheet again.",
            )?;
            sheet.caution(CAUTION)?;
        }
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: tables::csv(study, shop),
    })
}

/// Order of bleeding.
const BLEED: [&str; 4] = [
    "1. Bench-bleed the master, or the masters, until no bubble comes.",
    "2. Reservoir full at all times. The wheel farthest from the master first: right rear, left rear, right front, left front.",
    "3. Two masters on a bar: open one front and one rear screw together, so that the bar stays free.",
    "4. Hold the pedal hard for one minute: no sink, no leak. Then count the residual valves once more.",
];
