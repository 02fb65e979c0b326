//! Reading the pages of a PDF back: every straight line and closed path's side, in points on the page.

use pdf_extract::content::Content;
use pdf_extract::{Dictionary, Document, Object};

/// A place on the page, points.
type Place = (f64, f64);

/// A straight line on a page, points.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) from: Place,
    pub(crate) to: Place,
}

/// A map of the plane, as the file writes it.
#[derive(Clone, Copy)]
struct Map([f64; 6]);

impl Map {
    const SAME: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);
    fn of(numbers: &[f64]) -> Self {
        Self(numbers.try_into().unwrap())
    }
    /// This one first, then the other.
    fn then(self, other: Self) -> Self {
        let ([a, b, c, d, e, f], [p, q, r, s, t, u]) = (self.0, other.0);
        Self([
            a * p + b * r,
            a * q + b * s,
            c * p + d * r,
            c * q + d * s,
            e * p + f * r + t,
            e * q + f * s + u,
        ])
    }
    fn at(self, x: f64, y: f64) -> Place {
        let [a, b, c, d, e, f] = self.0;
        (a * x + c * y + e, b * x + d * y + f)
    }
}

fn numbers(objects: &[Object]) -> Vec<f64> {
    objects.iter().filter_map(|object| object.as_float().ok().map(f64::from)).collect()
}

/// The lines of every page.
pub(crate) fn lines(bytes: &[u8]) -> Vec<Vec<Line>> {
    let document = Document::load_mem(bytes).unwrap();
    let pages = document.get_pages();
    pages
        .values()
        .map(|id| {
            let page = document.get_dictionary(*id).unwrap();
            let resources = resolved(&document, page.get(b"Resources").unwrap()).as_dict().unwrap().clone();
            let content = document.get_page_content(*id).unwrap();
            let mut found = Vec::new();
            walk(&document, &content, &resources, Map::SAME, &mut found);
            found
        })
        .collect()
}

fn resolved<'a>(document: &'a Document, object: &'a Object) -> &'a Object {
    document.dereference(object).unwrap().1
}

fn walk(document: &Document, content: &[u8], resources: &Dictionary, map: Map, found: &mut Vec<Line>) {
    let (mut map, mut kept) = (map, Vec::new());
    let (mut start, mut at) = ((0.0, 0.0), (0.0, 0.0));
    for operation in Content::decode(content).unwrap().operations {
        let given = numbers(&operation.operands);
        match operation.operator.as_str() {
            "q" => kept.push(map),
            "Q" => map = kept.pop().unwrap(),
            "cm" => map = Map::of(&given).then(map),
            "m" => {
                at = map.at(given[0], given[1]);
                start = at;
            }
            "l" => {
                let to = map.at(given[0], given[1]);
                found.push(Line { from: at, to });
                at = to;
            }
            "c" => at = map.at(given[4], given[5]),
            "v" | "y" => at = map.at(given[2], given[3]),
            "h" => {
                found.push(Line { from: at, to: start });
                at = start;
            }
            "re" => found.extend(sides(&given, map)),
            "Do" => form(document, &operation.operands[0], resources, map, found),
            _ => {}
        }
    }
}

fn sides(given: &[f64], map: Map) -> [Line; 4] {
    let (x, y, w, h) = (given[0], given[1], given[2], given[3]);
    let corners = [map.at(x, y), map.at(x + w, y), map.at(x + w, y + h), map.at(x, y + h)];
    [0, 1, 2, 3].map(|side| Line { from: corners[side], to: corners[(side + 1) % 4] })
}

/// A drawing within the drawing.
fn form(document: &Document, name: &Object, resources: &Dictionary, map: Map, found: &mut Vec<Line>) {
    let all = resolved(document, resources.get(b"XObject").unwrap()).as_dict().unwrap();
    let stream = resolved(document, all.get(name.as_name().unwrap()).unwrap()).as_stream().unwrap();
    if stream.dict.get(b"Subtype").and_then(Object::as_name).ok() != Some(b"Form".as_slice()) {
        return;
    }
    let own = stream
        .dict
        .get(b"Matrix")
        .and_then(Object::as_array)
        .map_or(Map::SAME, |array| Map::of(&numbers(array)));
    let inner = stream
        .dict
        .get(b"Resources")
        .map_or(resources, |object| resolved(document, object).as_dict().unwrap());
    let content = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
    walk(document, &content, inner, own.then(map), found);
}
