//! What the sheets of tube work share: names, numbers, how an end is cut in words.

pub(crate) mod ends;

use build::{Build, Study, TubePart, TubeSection, TubesStudy, grade};
use units::{Fraction, Kind, Shop};

use crate::head::SheetSetup;
use crate::page::Paper;
use crate::parts::words::Words;
use crate::parts::{knots, subtitle};

/// The phase these sheets belong to.
const PHASE: &str = "tube_work";
/// Line at the foot of every page.
const FOOTER: &str = "Computed from the build file; measure before you cut. Not an approval.";

/// The build, its tubes and how the shop writes numbers.
pub(crate) struct Facts<'a> {
    pub(crate) build: &'a Build,
    pub(crate) study: &'a Study,
    pub(crate) tubes: &'a TubesStudy,
    pub(crate) shop: Shop,
    pub(crate) words: Words,
}

/// Head and foot of a sheet of tube work.
pub(crate) fn setup(
    title: &str,
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
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    }
}

impl<'a> Facts<'a> {
    pub(crate) fn new(build: &'a Build, study: &'a Study, shop: Shop) -> Self {
        Self {
            build,
            study,
            tubes: &study.tubes,
            shop,
            words: Words::new(shop),
        }
    }

    /// The tube's number on every sheet: "T3".
    pub(crate) fn number(&self, tube: usize) -> String {
        format!("T{}", tube + 1)
    }

    /// What the shop calls a tube.
    pub(crate) fn label(&self, tube: usize) -> String {
        let found = self.build.assembly.tubes.get(tube);
        let label = found.map_or("", |t| t.label.trim());
        let name = if label.is_empty() {
            found.map_or("the other tube", |t| t.id.as_str())
        } else {
            label
        };
        let one_line: Vec<&str> = name.split_whitespace().collect();
        crate::welding::words::short(&one_line.join(" "))
    }

    /// Number and name: "T3 Crossmember".
    pub(crate) fn name(&self, tube: usize) -> String {
        format!("{} {}", self.number(tube), self.label(tube))
    }

    /// A length to a thousandth of an inch or a hundredth of a millimetre, without its unit.
    pub(crate) fn fine(&self, metres: f64) -> String {
        crate::welding::words::fine(metres, &self.shop)
    }

    /// A computed length off the tape, and finer behind it: "41 5/16 (41.303)".
    pub(crate) fn both(&self, metres: f64) -> String {
        let fine = self.fine(metres);
        let tape = self.tape(metres);
        if self.shop.fraction == Fraction::Decimal || tape == fine {
            fine
        } else {
            format!("{tape} ({fine})")
        }
    }

    /// A computed length off the tape.
    pub(crate) fn tape(&self, metres: f64) -> String {
        units::format_bare(Kind::Length, metres, &self.shop)
    }

    /// A size that was chosen: a section, a radius, a die.
    pub(crate) fn size(&self, metres: f64) -> String {
        self.words.exact(metres)
    }

    /// "1 3/4 × 0.120 round", "4 × 2 × 0.120".
    pub(crate) fn section(&self, s: &TubeSection) -> String {
        match s {
            TubeSection::Round { outside, wall } => {
                format!(
                    "{} × {} round",
                    self.size(outside.si()),
                    self.size(wall.si())
                )
            }
            TubeSection::Rectangular {
                height,
                width,
                wall,
                ..
            } => format!(
                "{} high × {} wide × {}",
                self.size(height.si()),
                self.size(width.si()),
                self.size(wall.si())
            ),
        }
    }

    /// What the shop calls a material.
    pub(crate) fn material(&self, id: &str) -> String {
        let own = self.build.assembly.materials.iter().find(|m| m.id == id);
        let label = own
            .map(|m| m.label.as_str())
            .filter(|l| !l.trim().is_empty())
            .or_else(|| grade(id).map(|g| g.label))
            .unwrap_or(id);
        crate::welding::words::short(label)
    }

    pub(crate) fn mass(&self, kg: f64) -> String {
        units::format(Kind::Mass, kg, &self.shop)
    }

    /// The tubes with how they are made, in the assembly's order.
    pub(crate) fn parts(&self) -> impl Iterator<Item = (usize, &'a TubePart)> {
        let all = self.tubes.tubes.iter().enumerate();
        all.filter_map(|(i, t)| Some((i, &**t.part.as_ref().ok()?)))
    }

    /// The tubes that can not be made, with why.
    pub(crate) fn unmade(&self) -> Vec<(usize, String)> {
        let all = self.tubes.tubes.iter().enumerate();
        all.filter_map(|(i, t)| {
            let why = t.part.as_ref().err()?;
            Some((i, crate::welding::words::short(&why.show(&self.shop))))
        })
        .collect()
    }
}

/// An angle in degrees to a tenth, with a minus sign that is one.
pub(crate) fn degrees(rad: f64) -> String {
    let text = format!("{:.1}", rad.to_degrees());
    match text.strip_prefix('-') {
        Some("0.0") => "0.0°".into(),
        Some(rest) => format!("−{rest}°"),
        None => format!("{text}°"),
    }
}

/// Which side of the car a direction across a tube points to.
pub(crate) fn facing(v: [f64; 3]) -> &'static str {
    const NAMES: [[&str; 2]; 3] = [["front", "back"], ["left", "right"], ["top", "underside"]];
    let mut most = 0;
    for k in 1..3 {
        // Nearly equal ones: the higher axis names it.
        if v[k].abs() > v[most].abs() - 1e-9 {
            most = k;
        }
    }
    NAMES[most][usize::from(v[most] < 0.0)]
}

#[cfg(test)]
mod tests {
    use super::{degrees, facing};

    #[test]
    fn words_for_angles_and_sides() {
        assert_eq!(degrees(-1e-4), "0.0°");
        assert_eq!(degrees(-0.5), "−28.6°");
        assert_eq!(degrees(1.0), "57.3°");
        assert_eq!(facing([0.0, 0.0, 1.0]), "top");
        assert_eq!(facing([0.1, -0.9, 0.2]), "right");
        assert_eq!(facing([-1.0, 0.1, 0.2]), "back");
    }
}
