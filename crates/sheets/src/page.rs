//! The page as a display list: what every exporter and the on-screen preview draw.
//!
//! All lengths are **millimetres on the paper**, origin at the top left corner, x to the right, y down.
//! Items are drawn in list order, later ones over earlier ones.

/// Millimetres in one inch (exact by definition).
pub const MM_PER_IN: f64 = 25.4;
/// Millimetres in one point, 1/72 inch.
pub const MM_PER_PT: f64 = MM_PER_IN / 72.0;
/// The strip along each edge that common printers cannot reach: 0.25 in, in mm (common practice, no source).
pub const PRINT_MARGIN: f64 = 0.25 * MM_PER_IN;

/// A place on the page, mm from the top left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pt {
    /// To the right, mm.
    pub x: f64,
    /// Down, mm.
    pub y: f64,
}

/// Shorthand for [`Pt`].
pub const fn pt(x: f64, y: f64) -> Pt {
    Pt { x, y }
}

/// Width and height of a page, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width, mm.
    pub w: f64,
    /// Height, mm.
    pub h: f64,
}

/// The papers a sheet is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// US Letter, 8.5 × 11 in (ANSI/ASME Y14.1 size A).
    #[default]
    Letter,
    /// A4, 210 × 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// Every paper, for a menu.
    pub const ALL: [Paper; 2] = [Paper::Letter, Paper::A4];

    /// Size held upright, mm.
    pub const fn size(self) -> Size {
        match self {
            Paper::Letter => Size {
                w: 8.5 * MM_PER_IN,
                h: 11.0 * MM_PER_IN,
            },
            Paper::A4 => Size { w: 210.0, h: 297.0 },
        }
    }

    /// Name for a menu.
    pub const fn name(self) -> &'static str {
        match self {
            Paper::Letter => "Letter",
            Paper::A4 => "A4",
        }
    }
}

/// The role of a colour on paper. Resolved in one place, [`Ink::rgb`].
///
/// Meaning is never carried by ink alone: what is in use is also filled, bold or dashed, so a sheet reads
/// in black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ink {
    /// Text and object lines.
    #[default]
    Ink,
    /// Secondary text, projected lines.
    Dim,
    /// Datum, phase in hand, caution.
    Accent,
    /// Ground of the row or area in use.
    Tint,
    /// Ground of a table head.
    Head,
    /// Fine rules and lines to write on.
    Rule,
    /// Paper white, to fill open marks.
    White,
}

impl Ink {
    /// Every role.
    pub const ALL: [Ink; 7] = [
        Ink::Ink,
        Ink::Dim,
        Ink::Accent,
        Ink::Tint,
        Ink::Head,
        Ink::Rule,
        Ink::White,
    ];

    /// The colour printed, sRGB, 8 bits each.
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Ink::Ink => [0x22, 0x28, 0x2c],
            Ink::Dim => [0x5c, 0x64, 0x68],
            Ink::Accent => [0xb0, 0x60, 0x00],
            Ink::Tint => [0xf6, 0xed, 0xdd],
            Ink::Head => [0xeb, 0xe8, 0xdf],
            Ink::Rule => [0xb4, 0xb8, 0xb8],
            Ink::White => [0xff, 0xff, 0xff],
        }
    }
}

/// Dash pattern of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long dashes: datum and centre lines through a 1:1 drawing.
    Dashed,
    /// Short dashes: projected and leader lines.
    Fine,
    /// Dash and dot: centre lines.
    DashDot,
}

impl Dash {
    /// On and off lengths, mm; empty for an unbroken line.
    pub const fn pattern(self) -> &'static [f64] {
        match self {
            Dash::Solid => &[],
            Dash::Dashed => &[2.4, 1.0],
            Dash::Fine => &[0.8, 0.6],
            Dash::DashDot => &[3.2, 0.8, 0.6, 0.8],
        }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Line width, mm.
    pub width: f64,
    /// Colour role.
    pub ink: Ink,
    /// Dash pattern.
    pub dash: Dash,
}

impl Pen {
    /// An unbroken line.
    pub const fn new(width: f64, ink: Ink) -> Self {
        Self {
            width,
            ink,
            dash: Dash::Solid,
        }
    }

    /// The same pen with a dash pattern.
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }

    /// Object line, 0.35 mm.
    pub const OBJECT: Pen = Pen::new(0.35, Ink::Ink);
    /// Thin line, 0.18 mm.
    pub const THIN: Pen = Pen::new(0.18, Ink::Ink);
    /// Leader or projected line: thin, dim, short dashes.
    pub const LEADER: Pen = Pen::new(0.18, Ink::Dim).dashed(Dash::Fine);
    /// Datum line: accent.
    pub const DATUM: Pen = Pen::new(0.35, Ink::Accent);
    /// Line to write on.
    pub const WRITE: Pen = Pen::new(0.18, Ink::Rule);
}

/// Weight of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Face {
    /// Regular.
    #[default]
    Regular,
    /// Bold.
    Bold,
}

/// Which end of a text stands on its anchor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Align {
    /// The anchor is the left end of the baseline.
    #[default]
    Left,
    /// The anchor is the middle of the baseline.
    Centre,
    /// The anchor is the right end of the baseline.
    Right,
}

/// One line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Anchor on the baseline, mm to the right.
    pub x: f64,
    /// Anchor on the baseline, mm down.
    pub y: f64,
    /// Size of the type, points (1/72 in).
    pub size_pt: f64,
    /// Weight.
    pub face: Face,
    /// Which end stands on the anchor.
    pub align: Align,
    /// Colour role.
    pub ink: Ink,
    /// Turn about the anchor, radians, positive counter-clockwise as seen on the paper.
    pub turn: f64,
    /// The words. Any Unicode is taken; see [`crate::type_metrics::clean`] for what is drawn.
    pub text: String,
}

impl Text {
    /// Regular ink text with its left end at `(x, y)`.
    pub fn new(x: f64, y: f64, size_pt: f64, text: impl Into<String>) -> Self {
        Self {
            x,
            y,
            size_pt,
            face: Face::Regular,
            align: Align::Left,
            ink: Ink::Ink,
            turn: 0.0,
            text: text.into(),
        }
    }

    /// Bold.
    #[must_use]
    pub fn bold(self) -> Self {
        self.face(Face::Bold)
    }

    /// With this weight.
    #[must_use]
    pub fn face(mut self, face: Face) -> Self {
        self.face = face;
        self
    }

    /// With this colour role.
    #[must_use]
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    /// Right end on the anchor.
    #[must_use]
    pub fn right(self) -> Self {
        self.align(Align::Right)
    }

    /// Middle on the anchor.
    #[must_use]
    pub fn centred(self) -> Self {
        self.align(Align::Centre)
    }

    /// With this alignment.
    #[must_use]
    pub fn align(mut self, align: Align) -> Self {
        self.align = align;
        self
    }

    /// Turned about the anchor, radians, positive counter-clockwise as seen.
    #[must_use]
    pub fn turned(mut self, turn: f64) -> Self {
        self.turn = turn;
        self
    }
}

/// One thing on the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A straight line.
    Line {
        /// One end.
        from: Pt,
        /// Other end.
        to: Pt,
        /// Pen.
        pen: Pen,
    },
    /// Straight pieces end to end, left open.
    Polyline {
        /// Corners.
        points: Vec<Pt>,
        /// Pen.
        pen: Pen,
    },
    /// Straight pieces end to end, closed back to the first.
    Polygon {
        /// Corners.
        points: Vec<Pt>,
        /// Outline, if any.
        pen: Option<Pen>,
        /// Ground, if any.
        fill: Option<Ink>,
    },
    /// An upright rectangle.
    Rect {
        /// Top left corner.
        at: Pt,
        /// Width, mm.
        w: f64,
        /// Height, mm.
        h: f64,
        /// Corner radius, mm; 0 for sharp corners.
        radius: f64,
        /// Outline, if any.
        pen: Option<Pen>,
        /// Ground, if any.
        fill: Option<Ink>,
    },
    /// A circle.
    Circle {
        /// Centre.
        centre: Pt,
        /// Radius, mm.
        radius: f64,
        /// Outline, if any.
        pen: Option<Pen>,
        /// Ground, if any.
        fill: Option<Ink>,
    },
    /// One line of text.
    Text(Text),
}

impl Item {
    /// Moves the item by `(dx, dy)` mm.
    pub fn shift(&mut self, dx: f64, dy: f64) {
        let mv = |p: &mut Pt| {
            p.x += dx;
            p.y += dy;
        };
        match self {
            Item::Line { from, to, .. } => {
                mv(from);
                mv(to);
            }
            Item::Polyline { points, .. } | Item::Polygon { points, .. } => {
                points.iter_mut().for_each(mv)
            }
            Item::Rect { at, .. } => mv(at),
            Item::Circle { centre, .. } => mv(centre),
            Item::Text(t) => {
                t.x += dx;
                t.y += dy;
            }
        }
    }

    /// Whether every number in the item is finite.
    pub fn is_finite(&self) -> bool {
        let ok = |p: &Pt| p.x.is_finite() && p.y.is_finite();
        let pen_ok = |p: &Option<Pen>| p.as_ref().is_none_or(|p| p.width.is_finite());
        match self {
            Item::Line { from, to, pen } => ok(from) && ok(to) && pen.width.is_finite(),
            Item::Polyline { points, pen } => points.iter().all(ok) && pen.width.is_finite(),
            Item::Polygon { points, pen, .. } => points.iter().all(ok) && pen_ok(pen),
            Item::Rect {
                at,
                w,
                h,
                radius,
                pen,
                ..
            } => ok(at) && w.is_finite() && h.is_finite() && radius.is_finite() && pen_ok(pen),
            Item::Circle {
                centre,
                radius,
                pen,
                ..
            } => ok(centre) && radius.is_finite() && pen_ok(pen),
            Item::Text(t) => [t.x, t.y, t.size_pt, t.turn].iter().all(|v| v.is_finite()),
        }
    }
}

/// One page.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Size of the paper, mm.
    pub size: Size,
    /// What is on it, in drawing order.
    pub items: Vec<Item>,
}

/// Pages with a title.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Title for the file's metadata.
    pub title: String,
    /// The pages in order.
    pub pages: Vec<Page>,
}
