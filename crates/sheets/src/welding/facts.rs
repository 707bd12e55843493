//! Everything the sheets of the weld-out read.

use build::{Build, DimensionStudy, Joint, JointStudy, Limit, Study, WeldStudy};
use units::{Kind, Shop};

use super::words;
use crate::parts::facts::letter;

/// The build and what was derived from it.
pub(crate) struct Facts<'a> {
    pub(crate) build: &'a Build,
    pub(crate) study: &'a Study,
    pub(crate) weld: &'a WeldStudy,
    pub(crate) shop: Shop,
}

/// Distances this close to a limit are on it, m.
const SLACK: f64 = 1e-9;

impl<'a> Facts<'a> {
    pub(crate) fn new(build: &'a Build, study: &'a Study, shop: Shop) -> Self {
        Self {
            build,
            study,
            weld: &study.weld,
            shop,
        }
    }

    /// A joint of the log with its study.
    pub(crate) fn joint(&self, place: usize) -> Option<(&'a Joint, &'a JointStudy)> {
        let joint = self.build.fit_up.joints.get(place)?;
        Some((joint, self.study.fit_up.joints.get(place)?))
    }

    /// What the shop calls a tube or plate.
    pub(crate) fn part(&self, id: &str) -> String {
        let label = self.build.assembly.part_label(id);
        label.unwrap_or(id).to_owned()
    }

    /// Which part stands on which.
    pub(crate) fn meets(&self, j: &Joint) -> String {
        match &j.joins {
            Some(joins) => format!("{} on {}", self.part(&joins.part), self.part(&joins.onto)),
            None => String::new(),
        }
    }

    /// Letters of the control dimensions, in the document's order.
    pub(crate) fn letter(&self, dimension: usize) -> String {
        letter(dimension)
    }

    /// The tolerance with its class.
    pub(crate) fn tolerance(&self, dimension: usize) -> String {
        let study = self.weld.dimensions.get(dimension);
        let class = match self.build.weld_out.dimensions.get(dimension) {
            Some(d) => match d.tolerance {
                Limit::Within(_) => String::new(),
                Limit::Iso13920(class) => format!(" (ISO 13920 {class:?})"),
            },
            None => String::new(),
        };
        match study.and_then(|d| d.tolerance) {
            Some(t) => format!("± {}{class}", self.exact(t)),
            None => format!("no tolerance{class}"),
        }
    }

    /// A tolerance: as fine as it must be to be right.
    pub(crate) fn exact(&self, metres: f64) -> String {
        crate::parts::words::Words::new(self.shop).exact(metres)
    }

    /// A length somebody typed, taped or drew, without its unit: the coarsest form that is right to a
    /// ten-thousandth of a millimetre, else to 0.001 in or 0.01 mm.
    pub(crate) fn kept(&self, metres: f64) -> String {
        use units::Fraction::{Decimal, Sixteenth, SixtyFourth, ThirtySecond};
        let all = [Sixteenth, ThirtySecond, SixtyFourth, Decimal];
        let from = all.iter().position(|x| *x == self.shop.fraction);
        for fraction in all.into_iter().skip(from.unwrap_or(0)) {
            let shop = Shop {
                fraction,
                ..self.shop
            };
            let text = units::format_bare(Kind::Length, metres, &shop);
            let read = units::parse_typed(Kind::Length, &text, &shop);
            if read.is_ok_and(|v| (v - metres).abs() < 1e-7) {
                return text;
            }
        }
        self.fine(metres)
    }

    /// A computed length, without its unit.
    pub(crate) fn fine(&self, metres: f64) -> String {
        words::fine(metres, &self.shop)
    }

    /// "27 5/8 ± 1/16".
    pub(crate) fn wanted(&self, dimension: usize) -> String {
        let d = self.build.weld_out.dimensions.get(dimension);
        let want = d.map_or_else(|| "—".into(), |d| self.kept(d.want.si()));
        format!("{want} {}", self.tolerance(dimension))
    }

    /// What the shop calls a control dimension.
    pub(crate) fn label(&self, dimension: usize) -> &'a str {
        let d = self.build.weld_out.dimensions.get(dimension);
        d.map_or("", |d| d.label.as_str())
    }

    pub(crate) fn dimension(&self, place: usize) -> Option<&'a DimensionStudy> {
        self.weld.dimensions.get(place)
    }

    /// How much longer to set it, to the step lengths are shown in.
    pub(crate) fn set_long(&self, dimension: usize) -> Option<f64> {
        let step = units::step(Kind::Length, &self.shop);
        self.dimension(dimension)?.set_long(step)
    }

    /// "within", or by how much it is out; `None` without a tolerance.
    pub(crate) fn verdict(&self, dimension: usize, off: f64) -> Option<String> {
        let tolerance = self.dimension(dimension)?.tolerance?;
        if !off.is_finite() {
            return None;
        }
        Some(if off.abs() <= tolerance + SLACK {
            "within".into()
        } else {
            format!("out, {}", words::long(off, &self.shop))
        })
    }
}
