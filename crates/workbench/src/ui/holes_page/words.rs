//! What the search says, in words.

use build::{
    Band, Definition, End, HoleOutcome, HolePlan, MOST_IN_FULL, Side, definition, figure_of,
};
use units::Shop;

use super::super::bench::Bench;

/// A whole number with its thousands apart: "20,736".
pub(in super::super) fn count(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// "20,736 combinations".
pub(super) fn combinations(n: u64) -> String {
    format!("{} combination{}", count(n), if n == 1 { "" } else { "s" })
}

/// A reason as a sentence of its own.
pub(super) fn sentence(why: &str) -> String {
    let mut letters = why.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    let text = first.unwrap_or_default() + letters.as_str();
    if text.ends_with('.') {
        text
    } else {
        text + "."
    }
}

/// Every band that judges: its reading, the band, whether it needs the whole study.
fn bands<'a>(bench: &Bench<'a>) -> impl Iterator<Item = (&'static Definition, Band, bool)> + 'a {
    bench.build.targets.iter().filter_map(|t| {
        let d = definition(&t.reading)?;
        let kind = t.low.kind;
        let not_of_holes = d.id.starts_with("car.") || d.id.starts_with("fit_up.");
        if (d.kind != kind && d.band_kind() != kind) || not_of_holes {
            return None;
        }
        let band = Band {
            low: t.low.si,
            high: t.high.si,
        };
        Some((d, band, figure_of(&t.reading).is_none()))
    })
}

fn range(d: &Definition, band: Band, shop: &Shop) -> String {
    format!(
        "{} {} to {}",
        d.label.to_lowercase(),
        d.display(band.low, shop),
        d.display(band.high, shop)
    )
}

/// The bands a search is judged by.
pub(super) fn judged_by(bench: &Bench<'_>) -> String {
    let pick = |slow: bool| -> Vec<String> {
        bands(bench)
            .filter(|(.., s)| *s == slow)
            .map(|(d, b, _)| range(d, b, bench.shop()))
            .collect()
    };
    let (fast, slow) = (pick(false), pick(true));
    let mut out = match fast.len() {
        0 => "No band of the rear axle is set, so nothing is thrown out and nothing ranked."
            .to_owned(),
        _ => format!("Judged by {}.", fast.join(" · ")),
    };
    if !slow.is_empty() {
        out += &format!(" Looked at one by one, best first: {}.", slow.join(" · "));
    }
    out + " Bands are set at the gauges on the right."
}

/// How far a search is.
pub(super) fn progress(plan: &HolePlan, done: u64) -> String {
    let all = plan.combinations();
    if done <= all {
        format!("{} of {}", count(done), count(all))
    } else {
        let most = all.min(MOST_IN_FULL as u64);
        format!(
            "one by one: {} of at most {}",
            count(done - all),
            count(most)
        )
    }
}

fn seconds(s: f64) -> String {
    if s < 0.005 {
        "less than 0.01 s".to_owned()
    } else if s < 10.0 {
        format!("{s:.2} s")
    } else {
        format!("{s:.0} s")
    }
}

fn label(id: &str) -> String {
    definition(id).map_or_else(|| id.to_owned(), |d| d.label.to_lowercase())
}

/// What was found: the line that counts, and the rest.
pub(super) fn outcome(o: &HoleOutcome) -> (String, String) {
    let is = |n: u64| if n == 1 { "is" } else { "are" };
    let mut first = format!(
        "{} judged in {}: {} {} in every band",
        combinations(o.evaluated),
        seconds(o.seconds),
        count(o.kept),
        is(o.kept),
    );
    if !o.in_full.is_empty() {
        first += " of the rear axle";
    }
    first.push('.');
    let mut rest = Vec::new();
    let thrown: Vec<String> = o
        .rejected
        .iter()
        .filter(|r| r.1 > 0)
        .map(|(label, n)| format!("{} {}", label.to_lowercase(), count(*n)))
        .collect();
    if !thrown.is_empty() {
        rest.push(format!("Thrown out first by {}.", thrown.join(" · ")));
    }
    if o.cannot_stand > 0 {
        rest.push(format!("{} can not stand.", count(o.cannot_stand)));
    }
    let listed = o.best.len() as u64;
    if !o.in_full.is_empty() && o.kept > 0 {
        let names: Vec<String> = o.in_full.iter().map(|id| label(id)).collect();
        rest.push(format!(
            "{} looked at one by one for {}: {} {} left.",
            count(o.looked_at as u64),
            names.join(", "),
            count(listed),
            is(listed),
        ));
    } else if listed > 0 && listed < o.kept {
        rest.push(format!("The best {} are listed.", count(listed)));
    }
    if let Some(hint) = hint(o) {
        rest.push(hint);
    }
    (first, rest.join(" "))
}

/// What to do when nothing is left.
fn hint(o: &HoleOutcome) -> Option<String> {
    if !o.best.is_empty() {
        return None;
    }
    let most = o.rejected.iter().max_by_key(|r| r.1).filter(|r| r.1 > 0);
    Some(if o.kept > 0 && !o.in_full.is_empty() {
        "None is left: the bands looked at one by one throw out the rest. Widen one of them, or drill more holes.".to_owned()
    } else if o.kept > 0 {
        "None is left that can be bolted: all put two links into one hole.".to_owned()
    } else if let Some((label, n)) = most.filter(|_| o.cannot_stand < o.evaluated) {
        format!(
            "None is left: {} throws out most ({} of {}). Widen its band, move a bracket or drill more holes.",
            label.to_lowercase(),
            count(*n),
            count(o.evaluated)
        )
    } else {
        "None is left: no combination holds the axle.".to_owned()
    })
}

/// A link's name beside its holes.
fn short(label: &str) -> &str {
    label.strip_suffix(" link").unwrap_or(label)
}

/// The holes of a combination: "upper F2 A2 · lower F3 A1"; F on the frame, A on the axle. Links
/// without a choice are left out.
pub(super) fn holes(plan: &HolePlan, index: u64) -> String {
    let b = plan.build();
    let bolted = plan.holes(index);
    let mut out = String::new();
    for l in &b.rear.links {
        let many = |id: &str| b.rear.bracket(id).is_some_and(|x| x.hole_count() > 1);
        if !many(&l.at_frame.bracket) && !many(&l.at_axle.bracket) {
            continue;
        }
        if !out.is_empty() {
            out += " · ";
        }
        out += short(&l.label);
        let mut side = None;
        for x in bolted.iter().filter(|x| x.link == l.id) {
            if side != Some(x.side) {
                side = Some(x.side);
                out += match x.side {
                    Side::Both => "",
                    Side::Left => " L",
                    Side::Right => " R",
                };
            }
            let end = match x.end {
                End::Frame => 'F',
                End::Axle => 'A',
            };
            out += &format!(" {end}{}", x.hole);
        }
    }
    if out.is_empty() {
        out += "the only holes there are";
    }
    out
}

/// Whether a combination is bolted up in the build now.
pub(super) fn is_bolted(bench: &Bench<'_>, plan: &HolePlan, index: u64) -> bool {
    let bolted = plan.holes(index);
    !bolted.is_empty()
        && bolted.iter().all(|x| {
            bench.build.rear.link(&x.link).is_some_and(|l| {
                let end = match x.end {
                    End::Frame => &l.at_frame,
                    End::Axle => &l.at_axle,
                };
                let right = end.right_hole.unwrap_or(end.hole);
                match x.side {
                    Side::Left => end.hole == x.hole,
                    Side::Right => right == x.hole,
                    Side::Both if l.sides == build::Sides::Pair => {
                        end.hole == x.hole && right == x.hole
                    }
                    Side::Both => end.hole == x.hole,
                }
            })
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_sentences() {
        assert_eq!(count(0), "0");
        assert_eq!(count(999), "999");
        assert_eq!(count(20_736), "20,736");
        assert_eq!(count(1_000_000), "1,000,000");
        assert_eq!(combinations(1), "1 combination");
        assert_eq!(sentence("no links"), "No links.");
        assert_eq!(sentence(""), ".");
    }

    #[test]
    fn nothing_left_names_the_band_that_throws_out_most() {
        let o = HoleOutcome {
            evaluated: 144,
            cannot_stand: 4,
            kept: 0,
            rejected: vec![("Anti-squat", 40), ("Roll steer", 100)],
            in_full: Vec::new(),
            looked_at: 0,
            best: Vec::new(),
            map: None,
            now: None,
            seconds: 0.001,
        };
        let (first, rest) = outcome(&o);
        assert_eq!(
            first,
            "144 combinations judged in less than 0.01 s: 0 are in every band."
        );
        assert_eq!(
            rest,
            "Thrown out first by anti-squat 40 · roll steer 100. 4 can not stand. None is left: roll steer throws out most \
             (100 of 144). Widen its band, move a bracket or drill more holes."
        );
    }
}
