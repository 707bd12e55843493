//! What can go wrong while composing or exporting sheets, with the numbers that failed.

/// An error of this crate.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// A document without pages cannot be exported.
    #[error("there is no page to export")]
    NoPages,
    /// An embedded font could not be read by the PDF writer.
    #[error("the embedded font {name} could not be read")]
    Font {
        /// File name of the font.
        name: &'static str,
    },
    /// A coordinate, width or size of an item is not a finite number.
    #[error("page {page}, item {item}: a coordinate or size is not a finite number")]
    NotFinite {
        /// Page index, from 0.
        page: usize,
        /// Item index on that page, from 0.
        item: usize,
    },
    /// The page itself has no usable size.
    #[error("page {page}: {width} × {height} mm is not a paper size")]
    PageSize {
        /// Page index, from 0.
        page: usize,
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
    },
    /// A block that must stay whole does not fit on the paper.
    #[error(
        "{what} needs {width:.1} × {height:.1} mm, the page has room for {room_width:.1} × {room_height:.1} mm"
    )]
    TooLarge {
        /// What was to be placed.
        what: String,
        /// Width needed, mm.
        width: f64,
        /// Height needed, mm.
        height: f64,
        /// Width there is, mm.
        room_width: f64,
        /// Height there is, mm.
        room_height: f64,
    },
    /// A table's columns do not fit beside each other even at their least width.
    #[error("{columns} columns need at least {needs:.1} mm, there are {width:.1} mm")]
    TableTooWide {
        /// Number of columns.
        columns: usize,
        /// Least width needed, mm.
        needs: f64,
        /// Width there is, mm.
        width: f64,
    },
    /// A row has more cells than the table has columns.
    #[error("row {row} has {cells} cells, the table has {columns} columns")]
    RowTooLong {
        /// Row index, from 0.
        row: usize,
        /// Cells in that row.
        cells: usize,
        /// Columns of the table.
        columns: usize,
    },
    /// Labels of an ordinate axis do not fit beside each other.
    #[error("{labels} labels need {needs:.1} mm, the axis has {room:.1} mm")]
    NoRoom {
        /// Number of labels.
        labels: usize,
        /// Length needed, mm.
        needs: f64,
        /// Length there is, mm.
        room: f64,
    },
    /// The PDF writer refused the document.
    #[error("the PDF could not be written: {0}")]
    Pdf(String),
    /// The PDF writer's output does not have the structure the print-scaling entry needs.
    #[error("the PDF could not be marked \"print at actual size\": {0}")]
    PdfStructure(&'static str),
    /// The CSV writer failed.
    #[error("the CSV could not be written: {0}")]
    Csv(String),
}
