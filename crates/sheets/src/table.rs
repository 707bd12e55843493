//! The table model: columns, rows, cells. Laid out on paper by the composer, written by `csv_out`.

use crate::page::{Align, Face, Ink};

/// How wide a column is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Width {
    /// As wide as its text; spare room is dealt out equally among such columns, unless others take a share:
    /// then up to 4 mm each.
    #[default]
    Auto,
    /// So many mm.
    Fixed(f64),
    /// As wide as its text at least, and this part of the spare room (any positive weight).
    Share(f64),
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub struct Col {
    /// Words in the head.
    pub head: String,
    /// Width.
    pub width: Width,
    /// Alignment of head and cells.
    pub align: Align,
}

impl Col {
    /// Left-aligned.
    pub fn left(head: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            width: Width::Auto,
            align: Align::Left,
        }
    }

    /// Right-aligned, for figures.
    pub fn right(head: impl Into<String>) -> Self {
        Self {
            align: Align::Right,
            ..Self::left(head)
        }
    }

    /// Centred.
    pub fn centre(head: impl Into<String>) -> Self {
        Self {
            align: Align::Centre,
            ..Self::left(head)
        }
    }

    /// With a fixed width, mm.
    #[must_use]
    pub fn fixed(mut self, mm: f64) -> Self {
        self.width = Width::Fixed(mm);
        self
    }

    /// Takes this part of the spare room.
    #[must_use]
    pub fn share(mut self, weight: f64) -> Self {
        self.width = Width::Share(weight);
        self
    }
}

/// A small sign in front of a cell's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Open circle: a hole not in use.
    Open,
    /// Filled circle: the hole in use.
    Filled,
    /// Empty box to tick.
    Box,
    /// Ticked box.
    Ticked,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cell {
    /// The words; wrapped to the column.
    pub text: String,
    /// Weight.
    pub face: Face,
    /// Colour role.
    pub ink: Ink,
    /// Sign in front.
    pub mark: Option<Mark>,
    /// Whether a thin line to write on is drawn.
    pub write_line: bool,
}

impl Cell {
    /// A plain cell.
    pub fn new(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// An empty cell with a thin line: what was measured is written there.
    pub fn blank() -> Self {
        Self {
            write_line: true,
            ..Self::default()
        }
    }

    /// Bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.face = Face::Bold;
        self
    }

    /// In secondary ink.
    #[must_use]
    pub fn dim(mut self) -> Self {
        self.ink = Ink::Dim;
        self
    }

    /// In accent ink.
    #[must_use]
    pub fn accent(mut self) -> Self {
        self.ink = Ink::Accent;
        self
    }

    /// With a sign in front.
    #[must_use]
    pub fn mark(mut self, mark: Mark) -> Self {
        self.mark = Some(mark);
        self
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::new(text)
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::new(text)
    }
}

/// One row. Fewer cells than columns leave the rest empty; more is an error when laid out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// The cells from the left.
    pub cells: Vec<Cell>,
    /// Whether the row has a tinted ground.
    pub tint: bool,
    /// Whether a rule is drawn above: the first row of a group.
    pub rule: bool,
}

impl Row {
    /// A plain row.
    pub fn new(cells: impl IntoIterator<Item = Cell>) -> Self {
        Self {
            cells: cells.into_iter().collect(),
            tint: false,
            rule: false,
        }
    }

    /// On a tinted ground.
    #[must_use]
    pub fn tinted(mut self) -> Self {
        self.tint = true;
        self
    }

    /// With a rule above: begins a group. A group is kept on one page where it fits.
    #[must_use]
    pub fn ruled(mut self) -> Self {
        self.rule = true;
        self
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Columns from the left.
    pub columns: Vec<Col>,
    /// Rows from the top.
    pub rows: Vec<Row>,
    /// Size of the type, points.
    pub size_pt: f64,
    /// Without head and rules: for a short list of facts.
    pub plain: bool,
}

impl Table {
    /// A table without rows.
    pub fn new(columns: impl IntoIterator<Item = Col>) -> Self {
        Self {
            columns: columns.into_iter().collect(),
            rows: Vec::new(),
            size_pt: 9.5,
            plain: false,
        }
    }

    /// Adds a row at the bottom.
    pub fn push(&mut self, row: Row) {
        self.rows.push(row);
    }

    /// Without head and rules.
    #[must_use]
    pub fn plain(mut self) -> Self {
        self.plain = true;
        self
    }
}
