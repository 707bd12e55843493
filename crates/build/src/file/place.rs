//! Finds a field path such as `rear.brackets[2].drill` in the text, for errors found after reading.

/// Line and column, from 1, of the value at `path`; `None` if the walk loses it.
pub(super) fn locate(text: &str, path: &str) -> Option<(usize, usize)> {
    let chars: Vec<char> = text.chars().collect();
    let mut walk = Walk {
        chars: &chars,
        at: 0,
    };
    walk.blank();
    walk.attributes();
    for part in path.split(['.', '[']) {
        let part = part.trim_end_matches(']');
        match part.parse::<usize>() {
            Ok(index) => walk.enter_item(index)?,
            // The path begins with an index, or reading could not name the step.
            Err(_) if part.is_empty() || part == "?" => {}
            Err(_) if walk.at_variant(part) => {}
            Err(_) => walk.enter_field(part)?,
        }
    }
    Some(line_and_column(&chars[..walk.at]))
}

/// Line and column, from 1, of the first comment that is never closed.
pub(super) fn unclosed_comment(text: &str) -> Option<(usize, usize)> {
    let chars: Vec<char> = text.chars().collect();
    let mut walk = Walk {
        chars: &chars,
        at: 0,
    };
    while let Some(c) = walk.peek() {
        let start = walk.at;
        match c {
            '/' if walk.blank() => {
                // Blanks before it would have been passed already.
                return Some(line_and_column(&chars[..start]));
            }
            '/' if walk.at != start => {}
            '"' => walk.string(),
            'r' if walk.raw_string() => {}
            _ => walk.at += 1,
        }
    }
    None
}

fn line_and_column(before: &[char]) -> (usize, usize) {
    let line = before.iter().filter(|c| **c == '\n').count() + 1;
    let col = before.iter().rev().take_while(|c| **c != '\n').count() + 1;
    (line, col)
}

struct Walk<'a> {
    chars: &'a [char],
    at: usize,
}

impl Walk<'_> {
    fn peek(&self) -> Option<char> {
        self.chars.get(self.at).copied()
    }

    /// Past blanks and comments; true if the text ends inside a comment in `/* */`.
    fn blank(&mut self) -> bool {
        loop {
            while self.peek().is_some_and(char::is_whitespace) {
                self.at += 1;
            }
            match (self.peek(), self.chars.get(self.at + 1)) {
                (Some('/'), Some('/')) => {
                    while self.peek().is_some_and(|c| c != '\n') {
                        self.at += 1;
                    }
                }
                (Some('/'), Some('*')) => {
                    let start = self.at;
                    if self.block_comment() {
                        self.at = start;
                        return true;
                    }
                }
                _ => return false,
            }
        }
    }

    /// Past a comment in `/* */`, which may hold others; true if it is not closed.
    fn block_comment(&mut self) -> bool {
        let mut depth = 0usize;
        while let Some(c) = self.peek() {
            match (c, self.chars.get(self.at + 1)) {
                ('/', Some('*')) => depth += 1,
                ('*', Some('/')) => depth -= 1,
                _ => {
                    self.at += 1;
                    continue;
                }
            }
            self.at += 2;
            if depth == 0 {
                return false;
            }
        }
        true
    }

    /// Past `#![…]` lines at the head of the file.
    fn attributes(&mut self) {
        while self.chars[self.at..].starts_with(&['#', '!', '[']) {
            while self.peek().is_some_and(|c| c != ']') {
                self.at += 1;
            }
            self.at = (self.at + 1).min(self.chars.len());
            self.blank();
        }
    }

    /// Past a text in quotes.
    fn string(&mut self) {
        self.at += 1;
        while let Some(c) = self.peek() {
            self.at += 1;
            match c {
                '\\' => self.at += 1,
                '"' => break,
                _ => {}
            }
        }
    }

    /// Past a raw text `r#"…"#`; false, and nothing passed, if none stands here.
    fn raw_string(&mut self) -> bool {
        let rest = &self.chars[self.at..];
        let hashes = rest.iter().skip(1).take_while(|c| **c == '#').count();
        if rest.first() != Some(&'r') || rest.get(1 + hashes) != Some(&'"') {
            return false;
        }
        self.at += 2 + hashes;
        while let Some(c) = self.peek() {
            self.at += 1;
            let end = &self.chars[self.at..];
            if c == '"' && end.iter().take_while(|c| **c == '#').count() >= hashes {
                self.at += hashes;
                break;
            }
        }
        true
    }

    /// Does the choice `name` stand here, with its fields behind it?
    fn at_variant(&mut self, name: &str) -> bool {
        let start = self.at;
        let found = self.word() == name && {
            self.blank();
            self.peek() == Some('(')
        };
        self.at = start;
        found
    }

    fn word(&mut self) -> String {
        let start = self.at;
        while self
            .peek()
            .is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '#')
        {
            self.at += 1;
        }
        self.chars[start..self.at].iter().collect()
    }

    /// Past an opening bracket, and the variant or struct name that may stand before it.
    fn open(&mut self) -> Option<()> {
        let word = self.word();
        self.blank();
        if !matches!(self.peek()?, '(' | '[' | '{') {
            return None;
        }
        self.at += 1;
        self.blank();
        if word == "Some" {
            self.open()
        } else {
            Some(())
        }
    }

    /// Past one value, up to the comma or closing bracket after it.
    fn skip_value(&mut self) {
        let mut depth = 0usize;
        while let Some(c) = self.peek() {
            match c {
                '"' => {
                    self.string();
                    continue;
                }
                'r' if self.raw_string() => continue,
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' if depth == 0 => return,
                ')' | ']' | '}' => depth -= 1,
                ',' if depth == 0 => return,
                '/' => {
                    let here = self.at;
                    self.blank();
                    if self.at != here {
                        continue;
                    }
                }
                _ => {}
            }
            self.at += 1;
        }
    }

    fn next(&mut self) -> Option<()> {
        self.skip_value();
        if self.peek()? != ',' {
            return None;
        }
        self.at += 1;
        self.blank();
        Some(())
    }

    fn enter_field(&mut self, name: &str) -> Option<()> {
        self.open()?;
        loop {
            let start = self.at;
            let word = self.word();
            self.blank();
            if self.peek() == Some(':') {
                if word == name {
                    self.at += 1;
                    self.blank();
                    return Some(());
                }
            } else {
                self.at = start;
            }
            self.next()?;
        }
    }

    fn enter_item(&mut self, index: usize) -> Option<()> {
        self.open()?;
        for _ in 0..index {
            self.next()?;
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::{locate, unclosed_comment};

    #[test]
    fn knows_the_rest_of_the_notation() {
        let text = "#![enable(implicit_some)]\n(a: r#\"x\\\"(\"#, /* b: /* 1 */ ( */ b: Some((c: [Row(d: 2)])))";
        assert_eq!(locate(text, "b.c[0].Row.d"), Some((2, 55)));
        assert_eq!(locate("[(a: 1), (a: 2)]", "[1].a"), Some((1, 14)));
        assert_eq!(
            unclosed_comment("(a: \"/*\", // /*\n /* ok */ b: /* 1\n, c: 2)"),
            Some((2, 14))
        );
        assert_eq!(unclosed_comment("(a: 1) /* ok */ // /*"), None);
    }

    #[test]
    fn finds_nested_fields_past_strings_and_comments() {
        let text = "(\n  a: \"x, (y\", // b: 1\n  b: [\n    (c: 1),\n    Row(c: 2, /* ) */ d: (\"q\", 3)),\n  ],\n)";
        assert_eq!(locate(text, "b[1].d[1]"), Some((5, 32)));
        assert_eq!(locate(text, "b[0].c"), Some((4, 9)));
        assert_eq!(locate(text, "b[2].c"), None);
        assert_eq!(locate("", "b"), None);
    }
}
