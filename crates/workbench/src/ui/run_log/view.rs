//! Which runs are in sight, in which order, and which is the best.

use std::cmp::Ordering;

use build::{Predicted, RunRecord, RunTimes, Seen};
use vehicle::run::{Mark, Reading, Slip};

/// Which runs are shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Filters {
    /// In which this was seen.
    pub seen: Option<Seen>,
    /// At a place with these letters in it.
    pub place: String,
    /// That left clean.
    pub clean: bool,
    /// With a 60 ft time.
    pub sixty: bool,
}

impl Filters {
    fn takes(&self, r: &RunRecord) -> bool {
        let place = self.place.trim().to_lowercase();
        self.seen.is_none_or(|s| r.seen.contains(&s))
            && (place.is_empty() || r.place.to_lowercase().contains(&place))
            && (!self.clean || r.seen.contains(&Seen::Clean))
            && (!self.sixty || r.times.sixty_foot.is_some())
    }
}

/// A figure of the time slip that is listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Figure {
    Sixty,
    Eighth,
    #[default]
    Quarter,
    Speed,
}

impl Figure {
    pub const ALL: [Self; 4] = [Self::Sixty, Self::Eighth, Self::Quarter, Self::Speed];

    pub const fn label(self) -> &'static str {
        match self {
            Self::Sixty => "60 ft",
            Self::Eighth => "Eighth",
            Self::Quarter => "Quarter",
            Self::Speed => "Speed",
        }
    }

    pub const fn kind(self) -> units::Kind {
        match self {
            Self::Speed => units::Kind::Speed,
            _ => units::Kind::Time,
        }
    }

    /// What was measured, SI.
    pub fn measured(self, t: &RunTimes) -> Option<f64> {
        match self {
            Self::Sixty => t.sixty_foot.map(units::Time::si),
            Self::Eighth => t.eighth.map(units::Time::si),
            Self::Quarter => t.quarter.map(units::Time::si),
            Self::Speed => t.quarter_speed.map(units::Speed::si),
        }
        .filter(|v| v.is_finite())
    }

    /// What the model says, SI.
    pub fn predicted(self, slip: &Slip) -> Option<f64> {
        slip.reading(match self {
            Self::Sixty => Reading::Clock(Mark::SixtyFoot),
            Self::Eighth => Reading::Clock(Mark::Eighth),
            Self::Quarter => Reading::Clock(Mark::Quarter),
            Self::Speed => Reading::QuarterTrap,
        })
        .filter(|v| v.is_finite())
    }
}

/// A column of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Column {
    #[default]
    Run,
    When,
    Figure(Figure),
    Predicted,
    Off,
    Counts,
    Seen,
    Changed,
    Place,
}

/// How the rows are sorted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Sort {
    pub by: Column,
    pub down: bool,
}

/// A run beside the model.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run<'a> {
    /// Place in the log, from 0.
    pub index: usize,
    pub record: &'a RunRecord,
    pub before: Option<&'a RunRecord>,
    pub model: Option<&'a Predicted>,
    pub best: bool,
}

impl Run<'_> {
    pub fn slip(&self) -> Option<&Slip> {
        self.model?.slip.as_ref().ok()
    }

    pub fn measured(&self, f: Figure) -> Option<f64> {
        f.measured(&self.record.times)
    }

    pub fn predicted(&self, f: Figure) -> Option<f64> {
        f.predicted(self.slip()?)
    }

    /// Measured less predicted; above zero is slower for a time.
    pub fn off(&self, f: Figure) -> Option<f64> {
        Some(self.measured(f)? - self.predicted(f)?)
    }
}

/// The runs in sight.
#[derive(Debug)]
pub(super) struct Shown<'a> {
    /// Rows, sorted.
    pub rows: Vec<Run<'a>>,
    /// Every run, oldest first.
    pub all: Vec<Run<'a>>,
    /// Runs in the log.
    pub of: usize,
}

impl<'a> Shown<'a> {
    /// A run of the log.
    pub fn run(&self, id: &str) -> Option<Run<'a>> {
        self.all.iter().find(|r| r.record.id == id).copied()
    }
}

/// The quickest quarter; where no quarter was run the quickest eighth, else the quickest 60 ft.
fn best(log: &[RunRecord]) -> Option<usize> {
    [Figure::Quarter, Figure::Eighth, Figure::Sixty]
        .into_iter()
        .find_map(|f| {
            let of = |(i, r): (usize, &RunRecord)| Some((i, f.measured(&r.times)?));
            log.iter()
                .enumerate()
                .filter_map(of)
                .min_by(|a, b| a.1.total_cmp(&b.1))
        })
        .map(|(i, _)| i)
}

pub(super) fn shown<'a>(
    log: &'a [RunRecord],
    predicted: &'a [Predicted],
    filters: &Filters,
    sort: Sort,
) -> Shown<'a> {
    let best = best(log);
    let all: Vec<Run<'a>> = log
        .iter()
        .enumerate()
        .map(|(index, record)| Run {
            index,
            record,
            before: index.checked_sub(1).and_then(|i| log.get(i)),
            model: predicted.get(index).filter(|p| p.id == record.id),
            best: best == Some(index),
        })
        .collect();
    let mut rows: Vec<Run<'a>> = all
        .iter()
        .filter(|r| filters.takes(r.record))
        .copied()
        .collect();
    rows.sort_by(|a, b| order(a, b, sort));
    Shown {
        rows,
        all,
        of: log.len(),
    }
}

fn order(a: &Run<'_>, b: &Run<'_>, sort: Sort) -> Ordering {
    let turned = |o: Ordering| if sort.down { o.reverse() } else { o };
    // What is missing stands last either way.
    let numbers = |x: Option<f64>, y: Option<f64>| match (x, y) {
        (Some(x), Some(y)) => turned(x.total_cmp(&y)),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    };
    let found = match sort.by {
        Column::Run | Column::Changed => turned(a.index.cmp(&b.index)),
        Column::When => turned(a.record.when.cmp(&b.record.when)),
        Column::Place => turned(a.record.place.cmp(&b.record.place)),
        Column::Figure(f) => numbers(a.measured(f), b.measured(f)),
        Column::Predicted => numbers(a.predicted(Figure::Quarter), b.predicted(Figure::Quarter)),
        Column::Off => numbers(a.off(Figure::Quarter), b.off(Figure::Quarter)),
        Column::Counts => turned(b.record.learn.cmp(&a.record.learn)),
        Column::Seen => {
            let words = |r: &Run<'_>| super::words::seen(&r.record.seen);
            turned(words(a).cmp(&words(b)))
        }
    };
    found.then(a.index.cmp(&b.index))
}
