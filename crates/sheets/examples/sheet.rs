//! Writes the bracket placement sheet of a build: `sheet FILE FOLDER`, both papers, both unit systems, PDF, SVG and CSV.
#![allow(missing_docs)]

use std::path::PathBuf;

use sheets::{Format, Paper, bracket_placement, check_page, lines_through_text};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1).map(PathBuf::from);
    let (Some(file), Some(folder)) = (args.next(), args.next()) else {
        return Err("usage: sheet FILE FOLDER".into());
    };
    let build = build::file::load(&file)?;
    let study = build::derive(&build);
    for (shop, unit) in [(units::Shop::INCH, "in"), (units::Shop::METRIC, "mm")] {
        for paper in Paper::ALL {
            let sheet = bracket_placement(&build, &study, &shop, paper, "25 Nov 2026")?;
            for (k, page) in sheet.document.pages.iter().enumerate() {
                for clash in check_page(page).into_iter().chain(lines_through_text(page)) {
                    println!("{} {unit} page {}: {}", paper.name(), k + 1, clash.detail);
                }
            }
            for (format, ending) in [
                (Format::Pdf, "pdf"),
                (Format::Svg, "svg"),
                (Format::Csv, "csv"),
            ] {
                let name = format!(
                    "{}-{}-{unit}.{ending}",
                    build.name.to_lowercase(),
                    paper.name().to_lowercase()
                );
                std::fs::write(folder.join(name), sheet.export(format)?)?;
            }
        }
    }
    Ok(())
}
