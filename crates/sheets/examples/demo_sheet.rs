//! Writes the demonstration sheet as PDF and SVG for both papers into the folder named (default: target).
#![allow(missing_docs)]

#[path = "../tests/demo/mod.rs"]
#[allow(dead_code)] // the tests use the parts this example does not
mod demo;

use sheets::{Paper, check_page, lines_through_text, pdf, svg};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder =
        std::path::PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "target".into()));
    for paper in Paper::ALL {
        let document = demo::demo(paper)?;
        for (k, page) in document.pages.iter().enumerate() {
            for clash in check_page(page).into_iter().chain(lines_through_text(page)) {
                println!(
                    "{} page {}: {:?} {}",
                    paper.name(),
                    k + 1,
                    clash.kind,
                    clash.detail
                );
            }
        }
        let begin = std::time::Instant::now();
        let bytes = pdf::to_pdf(&document)?;
        println!(
            "{}: {} pages, {} bytes, {:?}",
            paper.name(),
            document.pages.len(),
            bytes.len(),
            begin.elapsed()
        );
        std::fs::write(folder.join(format!("demo-{}.pdf", paper.name())), bytes)?;
        std::fs::write(
            folder.join(format!("demo-{}.svg", paper.name())),
            svg::to_svg(&document)?,
        )?;
    }
    Ok(())
}
