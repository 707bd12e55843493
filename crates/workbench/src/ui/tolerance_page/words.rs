//! The spread in words.

use build::{Misplaced, placement_reading};
use eframe::egui::{self, RichText, Ui};
use geometry::Scatter;

use super::super::bench::Bench;
use super::super::holes_page::count;
use super::super::theme::{bold, plain};
use super::{Answer, amount, display};

/// What nine of ten builds read, what does not stand, whether straight lines will do.
pub(super) fn say(ui: &mut Ui, bench: &Bench<'_>, answer: &Answer, figure: Misplaced) {
    let p = bench.palette;
    let line = |ui: &mut Ui, text: RichText| ui.add(egui::Label::new(text).wrap());
    let (first, rest) = spread(bench, &answer.scatter, figure);
    line(ui, RichText::new(first).font(bold(13.0)));
    if !rest.is_empty() {
        line(ui, RichText::new(rest).font(plain(12.0)));
    }
    match answer.study.sensitivities.of(figure) {
        Ok(linear) => {
            let text = format!(
                "As drawn it reads {}. Every dimension at its worst together: {} either way.",
                display(bench, figure, linear.nominal, linear.worst_case),
                amount(bench, figure, linear.worst_case)
            );
            line(ui, RichText::new(text).font(plain(12.0)).color(p.dim));
            if linear.bends {
                let text = "! The figure bends within this tolerance: shares and worst case are those of straight lines and not to be \
                            trusted here. Go by the random builds.";
                line(ui, RichText::new(text).font(plain(12.0)).color(p.bad));
            }
        }
        Err(geometry::Missing::AtInfinity { .. }) => {
            let text = "As drawn the instant centre is out of sight, so no dimension can be said to move it.";
            line(ui, RichText::new(text).font(plain(12.0)).color(p.bad));
        }
        Err(geometry::Missing::OutOfReach(_)) => {
            let text =
                "As drawn an end of the travel is out of reach, so this figure has no value there.";
            line(ui, RichText::new(text).font(plain(12.0)).color(p.bad));
        }
    }
}

/// "9 of 10 builds read 101 % to 117 %; 62 % are in the band", and what else there is to say.
fn spread(bench: &Bench<'_>, scatter: &Scatter, figure: Misplaced) -> (String, String) {
    let d = scatter.of(figure);
    let mut rest = Vec::new();
    let builds = |n: usize| {
        let (s, verb) = if n == 1 { ("", "has") } else { ("s", "have") };
        (format!("{} build{s}", count(n as u64)), verb)
    };
    let first = match &d.summary {
        None => "No random build has a value.".to_owned(),
        Some(s) if s.max <= s.min => {
            format!(
                "Every build reads {}.",
                display(bench, figure, s.median, 0.01 * s.median)
            )
        }
        Some(s) => {
            let ends = [s.q05, s.q95].map(|v| display(bench, figure, v, s.q95 - s.q05));
            let mut out = format!("9 of 10 builds read {} to {}", ends[0], ends[1]);
            let target = placement_reading(figure).and_then(|d| bench.build.target(d.id));
            match d.inside {
                Some(share) => out += &format!("; {} are in the band.", per_cent(share)),
                None if target.is_none() => out += "; no band is set.",
                None => out.push('.'),
            }
            let beyond = s.histogram.below + s.histogram.above;
            if beyond > 0 {
                rest.push(format!(
                    "{} beyond the plot: from {} to {}.",
                    builds(beyond).0,
                    display(bench, figure, s.min, s.q95 - s.q05),
                    display(bench, figure, s.max, s.q95 - s.q05)
                ));
            }
            out
        }
    };
    if d.without_value > 0 {
        let (n, verb) = builds(d.without_value);
        rest.push(format!("{n} {verb} no value."));
    }
    if scatter.cannot_stand > 0 {
        rest.push(format!("{} can not stand.", builds(scatter.cannot_stand).0));
    }
    (first, rest.join(" "))
}

/// A share to the per cent, never all or nothing where it is not.
pub(super) fn per_cent(share: f64) -> String {
    let whole = (share * 100.0).round();
    if whole >= 100.0 && share < 1.0 {
        "over 99 %".to_owned()
    } else if whole <= 0.0 && share > 0.0 {
        "under 1 %".to_owned()
    } else {
        format!("{whole:.0} %")
    }
}

#[cfg(test)]
mod tests {
    use super::per_cent;

    #[test]
    fn a_share_is_all_or_nothing_only_when_it_is() {
        assert_eq!(per_cent(1.0), "100 %");
        assert_eq!(per_cent(0.9999), "over 99 %");
        assert_eq!(per_cent(0.0), "0 %");
        assert_eq!(per_cent(0.0001), "under 1 %");
        assert_eq!(per_cent(0.624), "62 %");
    }
}
