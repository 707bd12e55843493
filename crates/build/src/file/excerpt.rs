//! The line a message points at, with a caret under the column.

/// Longest piece of a line shown, characters.
const WIDTH: usize = 120;

/// Two lines: the text around column `col` (from 1) and a caret under it.
///
/// Tabs stay tabs in both, so that they reach equally far; other control characters are not shown
/// as they are, a terminal would obey them.
pub(super) fn excerpt(line: &str, col: usize) -> String {
    let chars: Vec<char> = line.chars().collect();
    let at = col.saturating_sub(1).min(chars.len());
    let start = if chars.len() > WIDTH {
        at.saturating_sub(WIDTH / 2)
    } else {
        0
    };
    let end = (start + WIDTH).min(chars.len());
    let mut shown = String::new();
    let mut pad = String::new();
    if start > 0 {
        shown.push('…');
        pad.push(' ');
    }
    for (i, &c) in chars[start..end].iter().enumerate() {
        let c = if c.is_control() && c != '\t' {
            char::REPLACEMENT_CHARACTER
        } else {
            c
        };
        shown.push(c);
        if start + i < at {
            match c {
                '\t' => pad.push('\t'),
                c => (0..columns(c)).for_each(|_| pad.push(' ')),
            }
        }
    }
    if end < chars.len() {
        shown.push('…');
    }
    format!("  | {shown}\n  | {pad}^")
}

/// Columns a character takes in a terminal: the usual wide and combining ranges of Unicode's
/// East Asian Width (from memory).
fn columns(c: char) -> usize {
    match u32::from(c) {
        0x300..=0x36F | 0x200B..=0x200F | 0xFE00..=0xFE0F => 0,
        0x1100..=0x115F
        | 0x2E80..=0xA4CF
        | 0xAC00..=0xD7A3
        | 0xF900..=0xFAFF
        | 0xFE30..=0xFE6F
        | 0xFF00..=0xFF60
        | 0xFFE0..=0xFFE6
        | 0x1F300..=0x1F64F
        | 0x1F680..=0x1F6FF
        | 0x1F900..=0x1F9FF
        | 0x20000..=0x3FFFD => 2,
        _ => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::excerpt;

    #[test]
    fn caret_stands_under_its_column() {
        assert_eq!(excerpt("ab: 1", 5), "  | ab: 1\n  |     ^");
        assert_eq!(excerpt("\ta:\t1", 5), "  | \ta:\t1\n  | \t  \t^");
        assert_eq!(excerpt("é🚗 1", 4), "  | é🚗 1\n  |     ^");
        assert_eq!(excerpt("a\u{1b}[31mb", 1), "  | a\u{fffd}[31mb\n  | ^");
        assert_eq!(excerpt("", 9), "  | \n  | ^");
    }

    #[test]
    fn a_long_line_is_shown_around_the_column() {
        let line = format!("{}X{}", "a".repeat(3000), "b".repeat(3000));
        let text = excerpt(&line, 3001);
        let lines: Vec<Vec<char>> = text.lines().map(|l| l.chars().collect()).collect();
        assert!(lines[0].len() < 130);
        let caret = lines[1].iter().position(|c| *c == '^');
        assert_eq!(caret.map(|i| lines[0][i]), Some('X'));
    }
}
