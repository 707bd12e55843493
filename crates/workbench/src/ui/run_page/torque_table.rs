//! A torque curve read from two columns of text.

use units::{Kind, Shop};

/// 1 lb·ft in N·m.
const POUND_FOOT: f64 = 1.355_817_948_331_400_4;
/// Most rows taken.
const MOST: usize = 2000;

/// Rows of engine speed (rad/s) and torque (N·m), rising speed. Columns are parted by tab, comma,
/// semicolon or spaces; a first line of words is a head, and a unit of torque in it counts, else the
/// shop's.
///
/// # Errors
/// The line that can not be read, in words.
pub fn read_torque(text: &str, shop: &Shop) -> Result<Vec<(f64, f64)>, String> {
    let mut rows: Vec<(f64, f64)> = Vec::new();
    let mut newton_metres = None;
    let lines = text.lines().enumerate();
    let lines = lines.filter(|(_, l)| !l.trim().is_empty() && !l.trim_start().starts_with('#'));
    for (k, (n, line)) in lines.enumerate() {
        let cells: Vec<&str> = line
            .split(|c: char| c == '\t' || c == ',' || c == ';' || c.is_whitespace())
            .map(|c| c.trim().trim_matches('"'))
            .filter(|c| !c.is_empty())
            .collect();
        let number = |i: usize| cells.get(i).and_then(|c| c.parse::<f64>().ok());
        let (speed, torque) = match (number(0), number(1)) {
            (Some(a), Some(b)) if cells.len() == 2 => (a, b),
            (None, _) if k == 0 => {
                let head = line.to_lowercase();
                if head.contains("nm") || head.contains("n·m") || head.contains("n m") {
                    newton_metres = Some(true);
                } else if head.contains("lb") {
                    newton_metres = Some(false);
                }
                continue;
            }
            _ => {
                return Err(format!(
                    "line {} is not two numbers: \"{}\"",
                    n + 1,
                    short(line)
                ));
            }
        };
        if !(speed.is_finite() && speed > 0.0 && speed < 1.0e5) {
            return Err(format!("line {}: {speed} rpm is no engine speed", n + 1));
        }
        if !(torque.is_finite() && (0.0..1.0e6).contains(&torque)) {
            return Err(format!("line {}: {torque} is no torque", n + 1));
        }
        let torque = match newton_metres {
            Some(true) => torque,
            Some(false) => torque * POUND_FOOT,
            None => units::from_display_value(Kind::Torque, torque, shop),
        };
        rows.push((speed * std::f64::consts::PI / 30.0, torque));
        if rows.len() > MOST {
            return Err(format!("more than {MOST} rows"));
        }
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    if rows.len() < 2 {
        return Err("two rows at least make a curve".to_owned());
    }
    if let Some(w) = rows.windows(2).find(|w| w[1].0 - w[0].0 < 1e-9) {
        let rpm = w[0].0 * 30.0 / std::f64::consts::PI;
        return Err(format!("{rpm:.0} rpm is there twice"));
    }
    Ok(rows)
}

fn short(line: &str) -> String {
    line.chars().take(40).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    const RPM: f64 = std::f64::consts::PI / 30.0;

    fn inch() -> Shop {
        Shop::default()
    }

    #[test]
    fn columns_are_parted_by_tab_comma_semicolon_or_spaces() {
        for text in [
            "2000\t300\n3000\t340",
            "3000,340\n2000,300\n",
            "2000; 300\n\n3000; 340",
            "  2000   300\r\n  3000   340\r\n",
            "rpm, torque\n2000, 300\n3000, 340",
        ] {
            let rows = read_torque(text, &inch()).unwrap();
            assert_eq!(rows.len(), 2, "{text}");
            assert!((rows[0].0 - 2000.0 * RPM).abs() < 1e-9);
            // 1 lb·ft is 1.3558 N·m (NIST SP 811).
            assert!((rows[1].1 - 340.0 * 1.355_818).abs() < 1e-3, "{text}");
        }
    }

    #[test]
    fn a_head_names_the_unit() {
        let rows = read_torque("rpm\tNm\n2000\t300\n3000\t340", &inch()).unwrap();
        assert!((rows[0].1 - 300.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_table_is_said_with_its_line() {
        for (text, word) in [
            ("2000 300\nsoup", "line 2"),
            ("2000 300 5\n", "line 1"),
            ("2000 300", "two rows"),
            ("", "two rows"),
            ("2000 300\n2000 310", "twice"),
            ("-5 300\n2000 310", "line 1"),
            ("2000 -3\n3000 310", "line 1"),
            ("2000 NaN\n3000 310", "line 1"),
        ] {
            let why = read_torque(text, &inch()).unwrap_err();
            assert!(why.contains(word), "{text}: {why}");
        }
    }
}
