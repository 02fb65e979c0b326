//! Reading a drawing back: its labels with their true extents, and its dimension lines.

use ttf_parser::Face;

/// A label's box in the drawing.
#[derive(Debug, Clone)]
pub(crate) struct Label {
    pub(crate) text: String,
    pub(crate) x0: f64,
    pub(crate) y0: f64,
    pub(crate) x1: f64,
    pub(crate) y1: f64,
}

impl Label {
    pub(crate) fn covers(&self, other: &Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
}

const FACES: [&[u8]; 2] = [hingeline_sheet::REGULAR, hingeline_sheet::SEMI_BOLD];

/// Width of a text of height 1, measured in the embedded face itself.
fn width(text: &str, weight: &str) -> f64 {
    let face = Face::parse(FACES[usize::from(weight == "600")], 0).unwrap();
    let advance = |c: char| face.glyph_index(c).and_then(|glyph| face.glyph_hor_advance(glyph));
    text.chars().map(|c| f64::from(advance(c).unwrap_or(600)) / 1000.0).sum()
}

/// The value of an attribute of the tag that `tag` begins with.
pub(crate) fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let start = tag.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
    let rest = &tag[start..];
    &rest[..rest.find('"').unwrap()]
}

fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).parse().unwrap()
}

fn unescape(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

/// Width and height of the view box.
pub(crate) fn view_box(svg: &str) -> (f64, f64) {
    let numbers: Vec<f64> = attribute(svg, "viewBox").split(' ').map(|part| part.parse().unwrap()).collect();
    (numbers[2], numbers[3])
}

/// Every label of a drawing.
pub(crate) fn labels(svg: &str) -> Vec<Label> {
    svg.split("<text").skip(1).map(|part| label(&part[..part.find("</text>").unwrap()])).collect()
}

fn label(element: &str) -> Label {
    let (x, y, size) = (number(element, "x"), number(element, "y"), number(element, "font-size"));
    let inner = &element[element.find('>').unwrap() + 1..];
    let (text, width) = inner_text(inner, attribute(element, "font-weight"));
    let width = width * size;
    let x0 = match attribute(element, "text-anchor") {
        "start" => x,
        "middle" => x - width / 2.0,
        _ => x - width,
    };
    // cap height and depth of the face, a little rounded up
    Label { text, x0, y0: y - 0.7 * size, x1: x0 + width, y1: y + 0.22 * size }
}

fn inner_text(inner: &str, weight: &str) -> (String, f64) {
    if !inner.contains("<tspan") {
        let text = unescape(inner);
        return (text.clone(), width(&text, weight));
    }
    let mut all = String::new();
    let mut sum = 0.0;
    for part in inner.split("<tspan").skip(1) {
        let end = part.find("</tspan>").unwrap();
        let text = unescape(&part[part[..end].find('>').unwrap() + 1..end]) + &part[end + "</tspan>".len()..];
        sum += width(&text, attribute(part, "font-weight"));
        all.push_str(&text);
    }
    (all, sum)
}

/// The drawn lengths of all dimension lines: from arrow tip to arrow tip.
pub(crate) fn dimensions(svg: &str) -> Vec<f64> {
    groups(svg, "dimension")
        .iter()
        .map(|group| {
            let xs = starts(group);
            (xs[0] - xs[1]).abs()
        })
        .collect()
}

/// The drawn length of the scale bar.
pub(crate) fn scale_bar(svg: &str) -> f64 {
    let group = groups(svg, "scale-bar").remove(0);
    let path = attribute(group, "d");
    let xs: Vec<f64> = path
        .trim_matches(['M', 'Z'])
        .split('L')
        .map(|point| point.split(' ').next().unwrap().parse().unwrap())
        .collect();
    xs[1] - xs[0]
}

/// What stands in the groups of a class.
pub(crate) fn groups<'a>(svg: &'a str, class: &str) -> Vec<&'a str> {
    let open = format!("<g class=\"{class}\">");
    svg.split(&open).skip(1).map(|part| &part[..part.find("</g>").unwrap()]).collect()
}

/// The points of a path of straight lines.
pub(crate) fn points(d: &str) -> Vec<(f64, f64)> {
    let pairs = d.trim_matches(['M', 'Z']).split('L').map(|point| point.split_once(' ').unwrap());
    pairs.map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).collect()
}

/// The x of the first point of each path.
fn starts(group: &str) -> Vec<f64> {
    let paths = group.split("<path").skip(1).map(|part| attribute(part, "d"));
    paths.map(|d| d[1..].split(' ').next().unwrap().parse().unwrap()).collect()
}
