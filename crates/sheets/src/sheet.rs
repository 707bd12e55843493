//! A composed sheet and the files it is written as.

use std::path::Path;

use crate::error::SheetError;
use crate::page::Document;
use crate::table::Table;
use crate::{csv_out, pdf, svg};

/// The kind of file a sheet is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// PDF, one page a page, marked "print at actual size".
    Pdf,
    /// SVG in millimetres, the pages under each other.
    Svg,
    /// The sheet's table alone, full precision.
    Csv,
}

impl Format {
    /// By the ending of the file's name, upper or lower case; `None` for any other ending.
    pub fn of(path: &Path) -> Option<Format> {
        match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "pdf" => Some(Format::Pdf),
            "svg" => Some(Format::Svg),
            "csv" => Some(Format::Csv),
            _ => None,
        }
    }
}

/// A sheet ready to be shown or written.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The pages.
    pub document: Document,
    /// What the CSV holds. Bracket placement: every hole with its place in mm and decimal inches. Setting:
    /// every number of the sheet with all its digits in the shop's unit. Cut and bend: a tube, bend or end a line. Cope
    /// wraps: points of every wrap in mm. Cut list: a piece a line. Frame report: a figure a line, SI. Weld order: a joint a line. Dimension
    /// record: a measurement a line, blank ones too. Bead card: a bead a line, laid and to come. Run card: as the
    /// setting. Build summary: a figure, phase, finding or reading a line.
    pub table: Table,
}

impl Sheet {
    /// The bytes of the file.
    ///
    /// # Errors
    /// A number that is not finite, or a failure of the writer.
    pub fn export(&self, format: Format) -> Result<Vec<u8>, SheetError> {
        match format {
            Format::Pdf => pdf::to_pdf(&self.document),
            Format::Svg => svg::to_svg(&self.document).map(String::into_bytes),
            Format::Csv => csv_out::to_csv(&self.table).map(String::into_bytes),
        }
    }
}
