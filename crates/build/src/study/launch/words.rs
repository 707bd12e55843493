//! Errors of the models below, as sentences for the shop.

use vehicle::driveshaft::ShaftError;
use vehicle::launch::{LaunchError, LimitKind};
use vehicle::springs::SpringError;
use vehicle::strength::StrengthError;

fn limit(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::FrontWheelsOff => "both front wheels are off the ground",
        LimitKind::RearWheelsOff => "both rear wheels are off the ground",
        LimitKind::LimitPoint => "the car finds no balance any more",
    }
}

pub(super) fn launch(e: &LaunchError) -> String {
    match e {
        LaunchError::BadInput { what, value } => format!("the {what} can not be {value}"),
        LaunchError::TooMany { what, count, most } => {
            format!("{count} {what} are too many: at most {most} can be worked out")
        }
        LaunchError::NoStiffness { .. } | LaunchError::BadRod { .. } => {
            "a link has no length or no section".to_owned()
        }
        LaunchError::BadCoilover { what, .. } => {
            format!("a coil-over's {what} is not above zero")
        }
        LaunchError::DoesNotSettle { share, .. } => format!(
            "the car does not settle at rest: the held links go together only {:.0} % of the way",
            share * 100.0
        ),
        LaunchError::Collapses { .. } => {
            "at rest the car falls through: nothing holds it up, or nothing holds the axle"
                .to_owned()
        }
        LaunchError::TipsAtRest { kind } => format!("at rest {}", limit(*kind)),
        LaunchError::NoBalance {
            asked_g,
            largest_g,
            kind,
            ..
        } => format!(
            "no balance at {:.2} g: from {:.2} g on {}",
            asked_g.abs(),
            largest_g.abs(),
            limit(*kind)
        ),
        LaunchError::Lost {
            reached_g, asked_g, ..
        } => format!(
            "the balance was lost at {:.2} g on the way to {:.2} g",
            reached_g.abs(),
            asked_g.abs()
        ),
    }
}

pub(super) fn spring(e: &SpringError) -> String {
    match e {
        SpringError::BadInput { what, .. } => format!("the {what} is not above zero"),
        SpringError::Axle(_) | SpringError::Motion(_) => "the axle does not reach there".to_owned(),
        SpringError::NoMotion { .. } => {
            "it does not move with the wheel, so it holds nothing up".to_owned()
        }
    }
}

pub(super) fn strength(e: &StrengthError) -> String {
    match e {
        StrengthError::BadInput { what, .. } => format!("its {what} is not above zero"),
        StrengthError::NotInTable { grade, .. } => {
            format!("the table of {grade} has no bolt of this size")
        }
    }
}

pub(in crate::study) fn shaft(e: &ShaftError) -> String {
    match e {
        ShaftError::NoLength { what } => format!("{what} has no length"),
        ShaftError::Axle(_) => "the axle does not reach the whole travel".to_owned(),
        ShaftError::DoesNotReach { .. } => {
            "the shaft does not reach from the transmission over the whole travel".to_owned()
        }
    }
}
