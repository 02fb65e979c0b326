//! The body of a form: sections drawn out along the hinge line, with moments, skin and reach. Main type: [`Body`].

use std::f64::consts::PI;

use super::{Face, Fault, Form, NoseShape, Span, scan};
use crate::outline::{self, Edge, Outline, Path, Rim, Side, Surface};
use crate::solid;
use crate::{Moments, Vector};

/// A section drawn out along the hinge line.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    /// The section, in hinge coordinates: u = x, v = z.
    pub outline: Outline,
    /// m.
    pub from_y: f64,
    /// m, above the other.
    pub to_y: f64,
}

/// How far a piece reaches, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Envelope {
    /// x of its front.
    pub front: f64,
    /// x of its rear.
    pub rear: f64,
    /// Its highest z.
    pub top: f64,
    /// Its lowest z.
    pub bottom: f64,
    /// The largest distance of any of its points from the hinge line.
    pub swing: f64,
    /// Its length along the hinge line.
    pub span: f64,
}

/// The body of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Its parts along the hinge line; none for a frustum and a measured piece.
    pub prisms: Vec<Prism>,
    /// What stands in for them there.
    pub(super) block: Option<Block>,
    /// Of its volume, m³, m⁴, m⁵.
    pub volume: Moments,
    /// Its outside, but for what lies against an old weight and the bores through an outline; none where it is not
    /// known.
    pub skin: Option<Surface>,
    /// How far it reaches.
    pub envelope: Envelope,
    /// Its thinnest wall, m; none where it is not known.
    pub wall: Option<f64>,
}

/// What is known of a body without sections, that a hole can be checked against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Block {
    /// A frustum with its axis fore and aft.
    Round {
        /// The middle of its rear face.
        rear: Vector,
        /// Of its rear face and of its front, m.
        radii: [f64; 2],
        /// m.
        depth: f64,
    },
    /// The box around a measured piece: its least and its greatest corner.
    Around([Vector; 2]),
}

impl Prism {
    pub(super) fn volume(&self) -> Moments {
        self.outline.extruded(self.from_y, self.to_y)
    }
    fn holds(&self, y: f64, to_both_sides: f64) -> bool {
        self.from_y <= y - to_both_sides && y + to_both_sides <= self.to_y
    }
}

impl Body {
    /// The body of a form whose numbers are in range.
    ///
    /// # Errors
    /// [`Fault::Outline`]: a section that cannot be made.
    pub(super) fn of(form: &Form) -> Result<Self, Fault> {
        let (outline, span, wall) = match form {
            Form::Cap { front, outside, thickness, span, end_walls } => {
                return cap(front, *outside, *thickness, *span, *end_walls);
            }
            Form::Frustum { front_diameter, rear_diameter, depth, rear } => {
                return Ok(frustum([0.5 * rear_diameter, 0.5 * front_diameter], *depth, *rear));
            }
            Form::Measured { volume, bounds, .. } => return Ok(measured(*volume, *bounds)),
            Form::Bar { depth, height, span, face, middle } => {
                let rear = match face {
                    Face::Rear(x) => *x,
                    Face::Front(x) => x + depth,
                };
                let outline = Outline::rectangle(*depth, *height)?.moved([rear, *middle]);
                (outline, *span, Some(depth.min(*height).min(span.length)))
            }
            Form::RoundBar { diameter, span, centre } => {
                let outline = Outline::circle(0.5 * diameter)?.moved(*centre);
                (outline, *span, Some(diameter.min(span.length)))
            }
            Form::Nose { shape, depth, height, span, flat, middle } => {
                let outline = nose(*shape, *depth, 0.5 * height)?.moved([*flat, *middle]);
                (outline, *span, Some(depth.min(*height).min(span.length)))
            }
            Form::RingSegment { centre, inner_radius, thickness, from_angle, over_angle, span } => {
                let radii = [*inner_radius, inner_radius + thickness];
                let outline = Outline::ring_segment(radii, *from_angle, *over_angle)?.moved(*centre);
                (outline, *span, Some(thickness.min(inner_radius * over_angle).min(span.length)))
            }
            Form::Section { outline, span } => (outline.clone(), *span, None),
            Form::Plates { outline, thickness, count, from } => {
                let span = Span { from: *from, length: f64::from(*count) * thickness };
                (outline.clone(), span, Some(*thickness))
            }
        };
        let skin = outline.skin(span.from, span.to()).whole();
        let prism = Prism { outline, from_y: span.from, to_y: span.to() };
        Ok(Self::joined(vec![prism], skin, wall))
    }

    fn joined(prisms: Vec<Prism>, skin: Surface, wall: Option<f64>) -> Self {
        let envelope = Envelope::of(&prisms);
        let volume = prisms.iter().map(Prism::volume).sum();
        Self { prisms, block: None, volume, skin: Some(skin), envelope, wall }
    }
    /// The part that holds a place along the hinge line with a width to both sides.
    pub(super) fn prism_at(&self, y: f64, to_both_sides: f64) -> Option<&Prism> {
        self.prisms.iter().find(|prism| prism.holds(y, to_both_sides))
    }
}

fn nose(shape: NoseShape, depth: f64, half_height: f64) -> Result<Outline, outline::Fault> {
    match shape {
        NoseShape::HalfRound => Outline::half_round(half_height),
        NoseShape::HalfElliptic => Outline::half_ellipse(depth, half_height),
        NoseShape::Parabolic => Outline::parabolic_nose(depth, half_height),
    }
}

/// A shell, with walls that also cover the section of the old weight.
fn cap(front: &Path, outside: Side, thickness: f64, span: Span, walls: Option<f64>) -> Result<Body, Fault> {
    let shell = front.strip(thickness, outside)?;
    // What lies against the old weight takes no film.
    let (all, inside) = (shell.rim(), front.rim());
    let first = [all.first[0] - inside.first[0], all.first[1] - inside.first[1]];
    let mut skin = drawn(Rim { length: all.length - inside.length, first }, span.from, span.to());
    let section =
        |outline: &Outline, from_y: f64, to_y: f64| Prism { outline: outline.clone(), from_y, to_y };
    let mut prisms = vec![section(&shell, span.from, span.to())];
    let Some(wall) = walls else {
        skin = skin + end(&shell, span.from) + end(&shell, span.to());
        return Ok(Body::joined(prisms, skin, Some(thickness)));
    };
    let cover = cover(front, outside, thickness)?;
    let (low, high) = (span.from - wall, span.to() + wall);
    prisms.insert(0, section(&cover, low, span.from));
    prisms.push(section(&cover, span.to(), high));
    for (from, to, outside) in [(low, span.from, low), (span.to(), high, high)] {
        skin = skin + drawn(cover.rim(), from, to) + end(&cover, outside);
    }
    Ok(Body::joined(prisms, skin, Some(thickness.min(wall))))
}

/// The section of cap and old weight together: what lies between the outside of the shell and a straight line at the
/// rear of the trace.
fn cover(front: &Path, outside: Side, thickness: f64) -> Result<Outline, Fault> {
    let beside = front.parallel(thickness, outside)?;
    let mut edges = vec![Edge::Line { to: beside.start() }];
    edges.extend(beside.edges());
    edges.push(Edge::Line { to: front.end() });
    let rim = Path::new(front.start(), &edges)?.closed();
    Ok(Outline::new(rim, Vec::new())?)
}

/// A rim drawn out along the hinge line.
fn drawn(rim: Rim, from: f64, to: f64) -> Surface {
    let length = to - from;
    let area = rim.length * length;
    Surface { area, first: [rim.first[0] * length, area * 0.5 * (from + to), rim.first[1] * length] }
}

/// A flat end at a place along the hinge line.
fn end(outline: &Outline, y: f64) -> Surface {
    let flat = outline.moments();
    Surface { area: flat.area, first: [flat.first[0], flat.area * y, flat.first[1]] }
}

impl Envelope {
    fn of(prisms: &[Prism]) -> Self {
        let boxes = prisms.iter().map(|prism| prism.outline.bounds());
        let wide = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
        let [low, high] = boxes.fold(wide, |[low, high], [least, most]| {
            [[low[0].min(least[0]), low[1].min(least[1])], [high[0].max(most[0]), high[1].max(most[1])]]
        });
        Self {
            front: low[0],
            rear: high[0],
            top: high[1],
            bottom: low[1],
            swing: prisms.iter().map(|prism| scan::swing(&prism.outline)).fold(0.0, f64::max),
            span: prisms.iter().map(|prism| prism.to_y - prism.from_y).sum(),
        }
    }
}

/// A frustum with its rear face in its place and its axis forward.
fn frustum([rear_radius, front_radius]: [f64; 2], depth: f64, rear: Vector) -> Body {
    // Forward is −x: z of the closed form becomes −x, x becomes z.
    let forward = [[0.0, 0.0, -1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]];
    let volume = solid::frustum(rear_radius, front_radius, depth).mapped(&forward).moved(rear);
    let [x, y, z] = rear;
    let (p, q) = (rear_radius, front_radius);
    let slant = depth.hypot(p - q);
    let ends = PI * (p * p + q * q);
    let side = PI * (p + q) * slant;
    let side_forward = 2.0 * PI * slant * depth * (p / 6.0 + q / 3.0);
    let forward_first = side_forward + PI * q * q * depth;
    let area = side + ends;
    let skin = Surface { area, first: [area * x - forward_first, area * y, area * z] };
    let widest = p.max(q);
    let envelope = Envelope {
        front: x - depth,
        rear: x,
        top: z + widest,
        bottom: z - widest,
        swing: x.hypot(z.abs() + p).max((x - depth).hypot(z.abs() + q)),
        span: 2.0 * widest,
    };
    let block = Some(Block::Round { rear, radii: [p, q], depth });
    Body { prisms: Vec::new(), block, volume, skin: Some(skin), envelope, wall: None }
}

/// The corners of the box stand in for the swing: it is not smaller than that of the piece.
fn measured(volume: Moments, [low, high]: [Vector; 2]) -> Body {
    let envelope = Envelope {
        front: low[0],
        rear: high[0],
        top: high[2],
        bottom: low[2],
        swing: low[0].abs().max(high[0].abs()).hypot(low[2].abs().max(high[2].abs())),
        span: high[1] - low[1],
    };
    let block = Some(Block::Around([low, high]));
    Body { prisms: Vec::new(), block, volume, skin: None, envelope, wall: None }
}
