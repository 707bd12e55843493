//! Comparing two JSON trees leaf by leaf, and the report of one case.

use std::collections::BTreeSet;

use serde_json::Value;

/// What one case came to.
#[derive(Default)]
pub struct Report {
    /// Largest difference over tolerance, and the field it came from.
    worst: Option<(f64, String)>,
    compared: usize,
    failures: Vec<String>,
    skipped: BTreeSet<String>,
    notes: Vec<String>,
}

impl Report {
    pub fn new() -> Self {
        Self::default()
    }

    /// One number against the expected one.
    pub fn number(&mut self, field: &str, got: f64, want: f64, tolerance: f64) {
        self.compared += 1;
        let ratio = (got - want).abs() / tolerance;
        // A NaN is as bad as it gets.
        let ratio = if ratio.is_nan() { f64::INFINITY } else { ratio };
        if self.worst.as_ref().is_none_or(|(worst, _)| ratio > *worst) {
            self.worst = Some((ratio, field.to_owned()));
        }
        if ratio > 1.0 {
            self.failures.push(format!(
                "{field}: got {got}, expected {want}, tolerance {tolerance:e}"
            ));
        }
    }

    /// Something that holds or does not.
    pub fn check(&mut self, field: &str, holds: bool, what: impl FnOnce() -> String) {
        self.compared += 1;
        if !holds {
            self.failures.push(format!("{field}: {}", what()));
        }
    }

    pub fn skip(&mut self, field: &str) {
        self.skipped.insert(field.to_owned());
    }

    pub fn note(&mut self, note: String) {
        self.notes.push(note);
    }

    pub fn passed(&self) -> bool {
        self.failures.is_empty() && self.compared > 0
    }

    pub fn print(&self, id: &str) {
        let verdict = if self.passed() { "ok" } else { "FAILED" };
        match &self.worst {
            Some((worst, field)) => println!(
                "{verdict}: {id}: {} values, worst {worst:.3e} of its tolerance in {field}",
                self.compared
            ),
            None => println!("{verdict}: {id}: {} checks", self.compared),
        }
        for field in &self.skipped {
            println!("  skipped field: {field}");
        }
        for note in &self.notes {
            println!("  {note}");
        }
        for failure in self.failures.iter().take(12) {
            println!("  differs: {failure}");
        }
        if self.failures.len() > 12 {
            println!("  … and {} more", self.failures.len() - 12);
        }
        if self.compared == 0 {
            println!("  nothing was compared");
        }
    }

    /// Walks the expected tree; `tolerance` gives the tolerance of a leaf from its path
    /// (without the `at` prefix) and the expected value, or None for a field not known.
    pub fn tree(
        &mut self,
        at: &str,
        path: &str,
        got: Option<&Value>,
        want: &Value,
        tolerance: &dyn Fn(&str, f64) -> Option<f64>,
    ) {
        let field = format!("{at} {path}");
        let join = |key: &str| {
            if path.is_empty() {
                key.to_owned()
            } else {
                format!("{path}.{key}")
            }
        };
        match (want, got) {
            (Value::Object(fields), Some(Value::Object(ours))) => {
                for (key, value) in fields {
                    self.tree(at, &join(key), ours.get(key), value, tolerance);
                }
            }
            (_, None) => self.skip(path),
            (Value::Array(items), Some(Value::Array(ours))) => {
                self.check(&field, items.len() == ours.len(), || {
                    format!("{} values, expected {}", ours.len(), items.len())
                });
                for (index, (value, our)) in items.iter().zip(ours).enumerate() {
                    self.tree(at, &join(&index.to_string()), Some(our), value, tolerance);
                }
            }
            (Value::Number(number), Some(Value::Number(our))) => {
                let (number, our) = (number.as_f64().unwrap(), our.as_f64().unwrap());
                match tolerance(path, number) {
                    Some(t) => self.number(&field, our, number, t),
                    None => self.skip(path),
                }
            }
            // Includes null against null, and words and flags.
            (want, Some(got)) => {
                self.check(&field, want == got, || {
                    format!("got {got}, expected {want}")
                });
            }
        }
    }
}

/// The numbers in a sentence, in order ("1e-6 relative + 0.01" holds two).
pub fn numbers_in(text: &str) -> Vec<f64> {
    text.split(|c: char| !(c.is_ascii_digit() || "eE.+-".contains(c)))
        .filter(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.'))
        .filter_map(|word| word.trim_end_matches(['.', '-', '+']).parse().ok())
        .collect()
}
