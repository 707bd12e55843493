//! The alignment card: what to set, what a turn does, the bump steer to be and room for the one measured.

mod csv;
mod tables;

use build::{Build, FRONT_CAUTION, FrontEnd, FrontMotion, Study};
use units::{Kind, Shop};

use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::Paper;
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;

/// Title of the sheet.
pub(crate) const TITLE: &str = "Alignment card";
/// Line at the foot of every page.
const FOOTER: &str =
    "Computed from the build file: measure the car, not the paper. Not an approval.";
/// Whose word counts.
const LAW: &str = "Steering and suspension: licensed inspection and the local vehicle code decide, not this program.";
/// The phase this sheet belongs to.
const PHASE: &str = "front_end";

/// What the card is made of.
pub(crate) struct Card<'a> {
    build: &'a Build,
    study: &'a Study,
    shop: Shop,
    front: &'a FrontEnd,
    motion: &'a FrontMotion,
}

impl Card<'_> {
    fn show(&self, kind: Kind, si: f64) -> String {
        units::format(kind, si, &self.shop)
    }

    fn length(&self, metres: f64) -> String {
        self.show(Kind::Length, metres)
    }

    /// As fine as it is to be cut.
    fn kept(&self, metres: f64) -> String {
        units::format_kept(Kind::Length, metres, &self.shop)
    }
}

/// Composes the card of a build and what was derived from it. `date` is printed as given.
///
/// Camber, caster and toe to set with blanks for both sides, adjusters, bump steer with a table to measure
/// it, rods eye to eye, rack, coil-over and bar, cautions. What has no value is a dash.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn alignment(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    });
    let motion = study.front.as_ref().map(|s| s.motion.as_ref());
    let card = match (&build.front_end, motion) {
        (Some(front), Some(Ok(motion))) => Some(Card {
            build,
            study,
            shop: *shop,
            front,
            motion,
        }),
        (Some(_), Some(Err(why))) => {
            sheet.section("It does not go together", "");
            sheet.paragraph(&format!("{why}."))?;
            None
        }
        _ => {
            sheet.section("No front end yet", "");
            sheet.paragraph("Draw arms, tie rods and rack in the front end phase first.")?;
            None
        }
    };
    if let Some(c) = &card {
        sheet.section("To set", "ride height, rack centred, tyres at pressure");
        sheet.table(&tables::targets(c))?;
        sheet.section("One turn", "wheel height and rack held; toe last");
        if c.front.adjusters.is_empty() {
            sheet.note("no adjusters are described yet")?;
        } else {
            sheet.table(&tables::adjusters(c))?;
        }
        sheet.section("Bump steer", &tables::bump_note(c));
        sheet.table(&tables::bump(c))?;
        sheet.section("Cut and place", "eye to eye");
        sheet.table(&tables::lengths(c))?;
    }
    sheet.caution(FRONT_CAUTION)?;
    sheet.caution(LAW)?;
    sheet.signs(&["set by, date", "checked by, date"])?;
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(card.as_ref(), shop),
    })
}
