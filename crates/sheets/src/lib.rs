//! Paper for the shop: a page model in millimetres, a composer for sheets, and its exporters.
//!
//! ```
//! use sheets::{Cell, Col, Composer, Paper, Row, SheetSetup, Table, pdf};
//! # fn main() -> Result<(), sheets::SheetError> {
//! let mut sheet = Composer::new(SheetSetup {
//!     paper: Paper::Letter,
//!     title: "Bracket placement".into(),
//!     subtitle: "Dunlin · rev C · inches from the datum".into(),
//!     knots: SheetSetup::knots_at(12, 2),
//!     footer: "Computed from the build file; measure before you cut.".into(),
//! });
//! sheet.section("Holes", "tolerance ± 1/32 unless noted");
//! let mut table = Table::new([Col::left("hole"), Col::right("ahead"), Col::right("measured L")]);
//! table.push(Row::new(["1".into(), "19 1/2".into(), Cell::blank()]).tinted());
//! sheet.table(&table)?;
//! sheet.caution("Car on stands, chocked. Structural welds: qualified welder.")?;
//! sheet.signs(&["left side checked", "right side checked", "checked by, date"])?;
//! let document = sheet.finish();
//! let bytes = pdf::to_pdf(&document)?;
//! assert!(bytes.starts_with(b"%PDF"));
//! # Ok(())
//! # }
//! ```
//!
//! Floor 4: may use the floors below; the only crate that names the PDF writer, and only in [`pdf`].

mod alignment;
mod bead_card;
mod bracket_placement;
mod brake_circuit;
mod build_book;
mod build_summary;
mod canvas;
mod chassis;
pub mod check;
mod column;
mod cope_wraps;
pub mod csv_out;
mod cut_and_bend;
mod cut_list;
mod dimension_record;
mod driveline_sheet;
pub mod dxf;
mod error;
mod frame_report;
mod head;
mod housing_order;
mod layout;
pub mod ordinate;
pub mod page;
mod parts;
pub mod pdf;
mod run_card;
mod setting;
mod sheet;
pub mod svg;
mod table;
mod table_layout;
mod true_size;
mod tubework;
pub mod type_metrics;
mod weld_order;
mod welding;
mod which;

pub use alignment::alignment;
pub use bead_card::bead_card;
pub use bracket_placement::bracket_placement;
pub use brake_circuit::brake_circuit;
pub use build_book::build_book;
pub use build_summary::build_summary;
pub use canvas::{Canvas, View};
pub use check::{Clash, ClashKind, check_page, lines_through_text};
pub use column::{Column, SIZE_BODY, SIZE_NOTE, SIZE_SECTION};
pub use cope_wraps::{WRAP_MEASURE_LINE, cope_wraps};
pub use cut_and_bend::cut_and_bend;
pub use cut_list::cut_list;
pub use dimension_record::dimension_record;
pub use driveline_sheet::driveline_sheet;
pub use error::SheetError;
pub use frame_report::frame_report;
pub use head::{Knot, SheetSetup};
pub use housing_order::housing_order;
pub use layout::Composer;
pub use page::{Align, Dash, Document, Face, Ink, Item, Page, Paper, Pen, Pt, Size, Text, pt};
pub use run_card::run_card;
pub use setting::setting;
pub use sheet::{Format, Sheet};
pub use table::{Cell, Col, Mark, Row, Table, Width};
pub use true_size::MEASURE_LINE;
pub use weld_order::weld_order;
pub use which::Which;
