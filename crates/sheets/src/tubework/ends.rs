//! How an end of a tube is cut, in words.

use build::{CopeStudy, EndShape, EndStudy};
use geometry::tube::cope::{End, NoHoleSaw};

use super::{Facts, degrees};
use crate::welding::words::short;

/// Offsets smaller than this are none, m (own value: a twentieth of a millimetre).
const NO_OFFSET: f64 = 0.05e-3;

/// "A" or "B".
pub(crate) const fn letter(end: End) -> &'static str {
    match end {
        End::A => "A",
        End::B => "B",
    }
}

/// In a few words: "coped to T1 Frame rail, left".
pub(crate) fn brief(f: &Facts<'_>, end: &EndStudy) -> String {
    match &end.shape {
        EndShape::Square => "square, nothing meets it".into(),
        EndShape::RunsOn(other) => format!("square, butted to {}", f.name(*other)),
        EndShape::Mitre { with, mitre, .. } => {
            format!("mitred {} with {}", degrees(mitre.saw), f.name(*with))
        }
        EndShape::Cope(cut) => {
            let names: Vec<String> = cut.mains.iter().map(|m| f.name(*m)).collect();
            format!("coped to {}", names.join(" and "))
        }
        EndShape::Failed(why) => format!("no cut: {}", short(&why.show(&f.shop))),
    }
}

/// Everything the bench needs to know of an end, sentence by sentence.
pub(crate) fn sentences(f: &Facts<'_>, end: &EndStudy) -> Vec<String> {
    match &end.shape {
        EndShape::Square => vec!["Square: nothing drawn there cuts it.".into()],
        EndShape::RunsOn(other) => vec![format!(
            "Square, butted to {}, which runs on in line.",
            f.name(*other)
        )],
        EndShape::Mitre {
            with,
            mitre,
            toward,
        } => vec![format!(
            "Mitred with {}: {} between the two, saw {} from square, short side at clock {}. \
             Long point {} past the work point.",
            f.name(*with),
            degrees(mitre.included),
            degrees(mitre.saw),
            degrees(*toward),
            f.fine(-mitre.long_point())
        )],
        EndShape::Cope(cut) => coped(f, end.end, cut),
        EndShape::Failed(why) => {
            vec![format!("NO CUT: {}.", short(&why.show(&f.shop)))]
        }
    }
}

fn coped(f: &Facts<'_>, end: End, cut: &CopeStudy) -> Vec<String> {
    let mut out: Vec<String> = cut
        .mains
        .iter()
        .zip(cut.cope.pairs())
        .map(|(main, pair)| {
            format!(
                "Coped to {}: {} between the axes, {}, clock {}.",
                f.name(*main),
                degrees(pair.alpha),
                offset(f, end, pair.offset, pair.clock),
                degrees(pair.clock)
            )
        })
        .collect();
    let past = if cut.long.s < 0.0 {
        "past the work point"
    } else {
        "short of the work point"
    };
    out.push(format!(
        "Long point {} {past}, cut {} deep.",
        f.fine(cut.long.s.abs()),
        f.fine(cut.short.s - cut.long.s)
    ));
    if let Some((along, normal)) = cut.gap {
        out.push(format!(
            "Cut straight in, no bevel: it stands open at the outside by up to {} along the axis, {} to the tube.",
            f.fine(along),
            f.fine(normal)
        ));
        return out;
    }
    out.push(saw(f, end, cut));
    out
}

/// "no offset", "axis 1/4 off toward clock 90°".
fn offset(f: &Facts<'_>, end: End, e: f64, clock: f64) -> String {
    if e.abs() < NO_OFFSET {
        return "no offset".into();
    }
    // w lies a quarter turn past t about the inward direction, which is against d at end B.
    let quarter = std::f64::consts::FRAC_PI_2
        * e.signum()
        * match end {
            End::A => 1.0,
            End::B => -1.0,
        };
    let turn = std::f64::consts::TAU;
    // Half a turn reads as 180°, not as its negative.
    let half = 0.5 * turn;
    let toward = half - (half - clock - quarter + 1e-9).rem_euclid(turn) + 1e-9;
    format!(
        "its axis {} off toward clock {}",
        f.fine(e.abs()),
        degrees(toward)
    )
}

/// Settings of a hole saw, or why a plain one will not do.
pub(crate) fn saw(f: &Facts<'_>, end: End, cut: &CopeStudy) -> String {
    match &cut.saw {
        Ok(saw) => {
            let clock = cut.cope.pairs().first().map_or(0.0, |p| p.clock);
            format!(
                "Hole saw {}: {} from square, {}, saw centre to long point {}, cup at least {} deep.",
                f.size(saw.diameter),
                degrees(saw.from_square),
                offset(f, end, saw.offset, clock),
                f.fine(saw.centre_to_long_point.abs()),
                f.fine(saw.cup_depth)
            )
        }
        Err(NoHoleSaw::SeveralMains(n)) => {
            format!("No plain hole saw: it cuts to one tube, here are {n}. Use the wrap.")
        }
        Err(NoHoleSaw::NotRound) => {
            "No plain hole saw: the other tube is rectangular. Use the wrap.".into()
        }
        Err(NoHoleSaw::EndsHere) => {
            "No plain hole saw: the other tube ends there too. Use the wrap.".into()
        }
    }
}
