//! Reads a sheet's files back with other libraries.

use lopdf::Object;
use sheets::page::MM_PER_PT;

pub fn load(bytes: &[u8]) -> lopdf::Document {
    lopdf::Document::load_mem(bytes).expect("a second library reads the PDF")
}

/// All words of the PDF, page after page, without spaces.
pub fn squeezed(bytes: &[u8]) -> String {
    let doc = load(bytes);
    let pages: Vec<u32> = doc.get_pages().keys().copied().collect();
    pages
        .iter()
        .flat_map(|n| {
            doc.extract_text(&[*n])
                .unwrap()
                .split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect()
}

fn number(o: &Object) -> Option<f64> {
    o.as_float()
        .map(f64::from)
        .or_else(|_| o.as_i64().map(|v| v as f64))
        .ok()
}

type Matrix = [f64; 6];

/// Matrix [a b c d e f] maps (x, y) to (a x + c y + e, b x + d y + f), ISO 32000-1, 8.3.3.
fn apply(m: Matrix, x: f64, y: f64) -> [f64; 2] {
    [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]]
}

fn times(n: Matrix, m: Matrix) -> Matrix {
    let [a, b] = [
        apply([m[0], m[1], m[2], m[3], 0.0, 0.0], n[0], n[1]),
        apply([m[0], m[1], m[2], m[3], 0.0, 0.0], n[2], n[3]),
    ];
    let c = apply(m, n[4], n[5]);
    [a[0], a[1], b[0], b[1], c[0], c[1]]
}

/// Subpaths of a page, mm from its top left corner: their corners, curve handles left out.
pub fn paths(doc: &lopdf::Document, n: u32, height: f64) -> Vec<Vec<[f64; 2]>> {
    let content = doc
        .get_and_decode_page_content(doc.get_pages()[&n])
        .unwrap();
    let (mut ctm, mut stack) = ([1.0, 0.0, 0.0, 1.0, 0.0, 0.0], Vec::new());
    let mut out: Vec<Vec<[f64; 2]>> = Vec::new();
    for op in content.operations {
        let v: Vec<f64> = op.operands.iter().filter_map(number).collect();
        let at = |x: f64, y: f64| {
            let [x, y] = apply(ctm, x, y);
            [x * MM_PER_PT, height - y * MM_PER_PT]
        };
        match op.operator.as_str() {
            "q" => stack.push(ctm),
            "Q" => ctm = stack.pop().unwrap(),
            "cm" => ctm = times([v[0], v[1], v[2], v[3], v[4], v[5]], ctm),
            "m" => out.push(vec![at(v[0], v[1])]),
            "l" => out.last_mut().unwrap().push(at(v[0], v[1])),
            "c" => out.last_mut().unwrap().push(at(v[4], v[5])),
            "v" | "y" => out.last_mut().unwrap().push(at(v[2], v[3])),
            "re" => out.push(
                [
                    (v[0], v[1]),
                    (v[0] + v[2], v[1]),
                    (v[0] + v[2], v[1] + v[3]),
                    (v[0], v[1] + v[3]),
                ]
                .map(|(x, y)| at(x, y))
                .to_vec(),
            ),
            _ => {}
        }
    }
    out
}

/// Left, top, right, bottom.
pub fn extent(path: &[[f64; 2]]) -> [f64; 4] {
    path.iter()
        .fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |e, p| {
            [
                e[0].min(p[0]),
                e[1].min(p[1]),
                e[2].max(p[0]),
                e[3].max(p[1]),
            ]
        })
}

pub fn attr(n: &roxmltree::Node<'_, '_>, name: &str) -> f64 {
    n.attribute(name).unwrap().parse().unwrap()
}

/// Centres of the circles of this radius, mm.
pub fn circles(tree: &roxmltree::Document<'_>, radius: f64) -> Vec<[f64; 2]> {
    tree.descendants()
        .filter(|n| n.tag_name().name() == "circle" && (attr(n, "r") - radius).abs() < 0.01)
        .map(|n| [attr(&n, "cx"), attr(&n, "cy")])
        .collect()
}

/// The numbers of a CSV line from a column on.
pub fn numbers_at(line: &str, from: usize) -> Vec<f64> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(line.as_bytes());
    let record = reader.records().next().unwrap().unwrap();
    record
        .iter()
        .skip(from)
        .map(|v| v.parse().unwrap())
        .collect()
}
