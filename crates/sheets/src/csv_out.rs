//! Tables to CSV (RFC 4180, UTF-8).

use crate::error::SheetError;
use crate::table::{Cell, Mark, Table};

/// A table as CSV: one line of column heads, one line a row, short rows filled up with empty fields.
///
/// A text that begins with `=`, `+`, `-` or `@` (or a tab or return before it) gets a leading `'`, so a
/// spreadsheet does not take it for a formula; a plain number such as `-0.5` is left alone.
/// A mark is written as `[x]` (filled, ticked) or `[ ]` before the text.
///
/// # Errors
/// A row with more cells than the table has columns; a failure of the CSV writer.
pub fn to_csv(table: &Table) -> Result<String, SheetError> {
    let n = table.columns.len();
    let err = |e: String| SheetError::Csv(e);
    if n == 0 && table.rows.iter().all(|r| r.cells.is_empty()) {
        return Ok(String::new());
    }
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    out.write_record(table.columns.iter().map(|c| guard(&c.head)))
        .map_err(|e| err(e.to_string()))?;
    for (row, r) in table.rows.iter().enumerate() {
        if r.cells.len() > n {
            return Err(SheetError::RowTooLong {
                row,
                cells: r.cells.len(),
                columns: n,
            });
        }
        let empty = n - r.cells.len();
        let fields = r
            .cells
            .iter()
            .map(field)
            .chain(std::iter::repeat_n(String::new(), empty));
        out.write_record(fields).map_err(|e| err(e.to_string()))?;
    }
    let bytes = out.into_inner().map_err(|e| err(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| err(e.to_string()))
}

fn field(cell: &Cell) -> String {
    let sign = match cell.mark {
        None => return guard(&cell.text),
        Some(Mark::Filled | Mark::Ticked) => "[x]",
        Some(Mark::Open | Mark::Box) => "[ ]",
    };
    format!("{sign} {}", cell.text).trim_end().to_owned()
}

fn guard(text: &str) -> String {
    let begins = text
        .trim_start_matches(['\t', '\r', '\n', ' '])
        .starts_with(['=', '+', '-', '@']);
    if begins && text.trim().parse::<f64>().is_err() {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}
