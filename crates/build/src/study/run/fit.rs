//! Friction and launch speed of the logged runs together, beside what was entered.

use std::sync::Arc;

use vehicle::run::{InputSigma, LaunchFit, LaunchPrior, Parameter, Timed};

use super::super::Phrase;
use super::plan;
use crate::Build;

/// What the runs that count give together.
#[derive(Debug, Clone, PartialEq)]
pub struct JointFit {
    /// The runs, by their short names.
    pub runs: Vec<String>,
    /// The pair, or why there is none. Its launch speed is over the one the build is at already.
    pub fit: Result<LaunchFit, Phrase>,
    /// How far the engine was held above the launch speed written down, in all, rad/s; none without a fit.
    pub off: Option<f64>,
    /// The same as it is entered now.
    pub entered_off: f64,
    timed: Vec<Timed>,
    prior: LaunchPrior,
    others: Vec<InputSigma>,
}

impl JointFit {
    /// What the times can and can not tell, a sentence each.
    pub fn says(&self) -> Vec<Phrase> {
        let mut out = Vec::new();
        let Ok(fit) = &self.fit else { return out };
        if !fit.tells_apart() {
            out.push(Phrase::from(format!(
                "The times do not tell friction and launch rpm apart (correlation {:+.2}): a pair with more of the \
                 one and less of the other does as well. Log runs at another launch rpm",
                fit.correlation
            )));
        }
        if !fit.tells_launch() {
            out.push(Phrase::from(
                "The times say hardly anything of the launch rpm: it is as sure as before. Where the tyres hold \
                 less than the engine gives, no launch rpm changes the time",
            ));
        }
        if !fit.tells_friction() {
            out.push(Phrase::from(
                "The times say hardly anything of the friction: it is as sure as before. Where the tyres hold all \
                 the engine gives, more grip changes nothing",
            ));
        }
        if fit.kinked {
            out.push(Phrase::from(
                "A limit takes over right at this pair: the ± is rough, and grip beyond what was used does not show",
            ));
        }
        if let Some((run, left)) = self.stands_out() {
            let way = if left > 0.0 { "slower" } else { "quicker" };
            out.push(Phrase::from(format!(
                "Run {run} is {:.2} s {way} than this pair explains: look at its time, or untick it",
                left.abs()
            )));
        }
        out
    }

    /// The run and the time, s, that the pair explains least, measured less model; none where every time is
    /// within three standard deviations.
    pub fn stands_out(&self) -> Option<(&str, f64)> {
        let fit = self.fit.as_ref().ok().filter(|f| f.worst > 3.0)?;
        let of_runs = self.timed.iter().zip(&self.runs);
        let names = of_runs.flat_map(|(t, id)| t.clocked.iter().map(move |_| id.as_str()));
        let by_size = |a: &(&str, f64), b: &(&str, f64)| a.1.abs().total_cmp(&b.1.abs());
        names.zip(fit.left.iter().copied()).max_by(by_size)
    }
}

pub(super) fn together(
    b: &Build,
    runs: Vec<String>,
    timed: Vec<Timed>,
    earlier: Option<Arc<JointFit>>,
) -> Option<Arc<JointFit>> {
    if timed.is_empty() {
        return None;
    }
    let friction = b.power.friction.si();
    let prior = LaunchPrior {
        friction,
        friction_sigma: friction * b.run.unsure.friction.si(),
        launch_sigma: b.run.unsure.launch.si(),
    };
    let both = [Parameter::Friction, Parameter::LaunchSpeed];
    let others: Vec<InputSigma> = plan::sigmas(b)
        .into_iter()
        .filter(|s| !both.contains(&s.parameter))
        .collect();
    let entered_off = b.run.launch_off.si();
    let same = earlier
        .filter(|e| e.timed == timed && e.prior == prior && e.others == others && e.runs == runs);
    if same.is_some() {
        return same;
    }
    let fit = LaunchFit::of(&timed, &prior, &others).map_err(|e| Phrase::from(e.to_string()));
    Some(Arc::new(JointFit {
        runs,
        off: fit.as_ref().ok().map(|f| entered_off + f.launch),
        fit,
        entered_off,
        timed,
        prior,
        others,
    }))
}
