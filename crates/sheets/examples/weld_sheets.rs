//! Writes the sheets of the weld-out of a build: `weld_sheets FILE FOLDER`, both papers, both unit systems, PDF, SVG
//! and CSV; prints what touches.
#![allow(missing_docs)]

use std::path::PathBuf;

use sheets::{Format, Paper, Which, check_page, lines_through_text};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1).map(PathBuf::from);
    let (Some(file), Some(folder)) = (args.next(), args.next()) else {
        return Err("usage: weld_sheets FILE FOLDER".into());
    };
    let build = build::file::load(&file)?;
    let study = build::derive(&build);
    for which in [Which::WeldOrder, Which::DimensionRecord, Which::BeadCard] {
        for (shop, unit) in [(units::Shop::INCH, "in"), (units::Shop::METRIC, "mm")] {
            for paper in Paper::ALL {
                let sheet = which.make(&build, &study, &shop, paper, "25 Nov 2026")?;
                for (k, page) in sheet.document.pages.iter().enumerate() {
                    for clash in check_page(page).into_iter().chain(lines_through_text(page)) {
                        println!(
                            "{} {} {unit} page {}: {}",
                            which.id(),
                            paper.name(),
                            k + 1,
                            clash.detail
                        );
                    }
                }
                let name = format!("{}-{}-{unit}", which.id(), paper.name().to_lowercase());
                for (format, ending) in [
                    (Format::Pdf, "pdf"),
                    (Format::Svg, "svg"),
                    (Format::Csv, "csv"),
                ] {
                    let path = folder.join(format!("{name}.{ending}"));
                    std::fs::write(path, sheet.export(format)?)?;
                }
            }
        }
    }
    Ok(())
}
