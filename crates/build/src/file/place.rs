//! Finds a field path such as `rear.brackets[2].drill` in the text, for errors found after reading.

/// Line and column, from 1, of the value at `path`; `None` if the walk loses it.
pub(super) fn locate(text: &str, path: &str) -> Option<(usize, usize)> {
    let chars: Vec<char> = text.chars().collect();
    let mut walk = Walk {
        chars: &chars,
        at: 0,
    };
    walk.blank();
    for part in path.split(['.', '[']) {
        let part = part.trim_end_matches(']');
        match part.parse::<usize>() {
            Ok(index) => walk.into_item(index)?,
            Err(_) => walk.into_field(part)?,
        }
    }
    let before = &chars[..walk.at];
    let line = before.iter().filter(|c| **c == '\n').count() + 1;
    let col = before.iter().rev().take_while(|c| **c != '\n').count() + 1;
    Some((line, col))
}

struct Walk<'a> {
    chars: &'a [char],
    at: usize,
}

impl Walk<'_> {
    fn peek(&self) -> Option<char> {
        self.chars.get(self.at).copied()
    }

    fn blank(&mut self) {
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
                    self.at += 2;
                    while self.at < self.chars.len()
                        && !(self.peek() == Some('*') && self.chars.get(self.at + 1) == Some(&'/'))
                    {
                        self.at += 1;
                    }
                    self.at = (self.at + 2).min(self.chars.len());
                }
                _ => return,
            }
        }
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
        self.word();
        self.blank();
        if !matches!(self.peek()?, '(' | '[' | '{') {
            return None;
        }
        self.at += 1;
        self.blank();
        Some(())
    }

    /// Past one value, up to the comma or closing bracket after it.
    fn skip_value(&mut self) {
        let mut depth = 0usize;
        while let Some(c) = self.peek() {
            match c {
                '"' => {
                    self.at += 1;
                    while let Some(c) = self.peek() {
                        self.at += 1;
                        match c {
                            '\\' => self.at += 1,
                            '"' => break,
                            _ => {}
                        }
                    }
                    continue;
                }
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

    fn into_field(&mut self, name: &str) -> Option<()> {
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

    fn into_item(&mut self, index: usize) -> Option<()> {
        self.open()?;
        for _ in 0..index {
            self.next()?;
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::locate;

    #[test]
    fn finds_nested_fields_past_strings_and_comments() {
        let text = "(\n  a: \"x, (y\", // b: 1\n  b: [\n    (c: 1),\n    Row(c: 2, /* ) */ d: (\"q\", 3)),\n  ],\n)";
        assert_eq!(locate(text, "b[1].d[1]"), Some((5, 32)));
        assert_eq!(locate(text, "b[0].c"), Some((4, 9)));
        assert_eq!(locate(text, "b[2].c"), None);
        assert_eq!(locate("", "b"), None);
    }
}
