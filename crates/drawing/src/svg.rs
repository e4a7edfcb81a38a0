//! The schematic as SVG: geometry and classes; every colour is in the style.

use super::shape::{LINE, Rect};
use super::{Drawn, Hung, Label, Live, Of, Only, Point, Schematic, Stands, State, opening};
use parts::kind::{Circuit, Stroke};
use plant::plant::Plant;
use std::fmt::Write as _;

/// What the drawing looks like, in the page and alone; every colour is a variable of the page with a value to fall
/// back on.
///
/// # Source
/// Contents colours after [ISO14726], from memory: green sea water, blue fresh water, brown fuel, orange other oils,
/// black what is thrown away.
pub const STYLE: &str = concat!(include_str!("schematic.css"), include_str!("schematic-alone.css"));
/// The same without what a drawing that stands alone brings for dark screens.
pub(crate) const PAPER: &str = include_str!("schematic.css");

/// Least size of what is tapped [px].
const THUMB: f64 = 44.0;
/// Distance of the lines that turn within a block; the first is twice as deep [px].
const BEND: f64 = 10.0;
/// Half an arrow's length, and half its width [px].
const ARROW: (f64, f64) = (6.0, 4.0);
/// From the upper edge of a line to the foot of its letters [px].
const FOOT: f64 = 10.8;
/// Length of the run before a line of the legend [px].
pub(super) const SWATCH: f64 = 30.0;

impl Schematic {
    /// One SVG of the plant that was laid out, with what is read now.
    pub fn svg(&self, plant: &Plant, live: &Live) -> String {
        let only = live.only.as_ref();
        let window = self.window(&live.around);
        let seen = |rect: &Rect| window.is_none_or(|window| window.meets(rect));
        let Rect { x, y, w, h } = window.unwrap_or_else(|| self.cut(only));
        let alone = if live.standalone { " alone" } else { "" };
        let name = if plant.name.is_empty() { "this plant" } else { &plant.name };
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"schematic{alone}\" width=\"{w:.0}\" height=\"{h:.0}\" \
             viewBox=\"{x:.0} {y:.0} {w:.0} {h:.0}\" role=\"group\" aria-label=\"Schematic of {}\">\n",
            escaped(name)
        );
        if live.standalone {
            let _ = write!(
                out,
                "<style>\n{STYLE}</style>\n<rect class=\"paper\" x=\"{x:.0}\" y=\"{y:.0}\" width=\"{w:.0}\" height=\"{h:.0}\"/>\n"
            );
        }
        self.band(&mut out, plant, &live.trail, only);
        self.pipes(&mut out, only);
        for part in (0..self.pieces.len()).filter(|part| Only::part(only, *part) && seen(&self.pieces[*part].rect)) {
            self.part(&mut out, plant, live, part);
        }
        for (part, drawn) in self.again.iter().filter(|(part, drawn)| Only::part(only, *part) && seen(&drawn.rect)) {
            out += "<g aria-hidden=\"true\">\n";
            symbol(&mut out, plant, *part, drawn);
            out += "</g>\n";
        }
        for hung in self.gauges.iter().filter(|hung| Only::gauge(only, hung.gauge) && seen(&hung.circle)) {
            self.gauge(&mut out, plant, live, hung);
        }
        let drawn = |of| match of {
            Of::Letters(circuit) => Only::pipes(only, circuit),
            Of::Legend(_) | Of::Note => only.is_none() && window.is_none(),
            Of::Part(_) | Of::Gauge(_) => false,
        };
        for label in self.labels.iter().filter(|label| drawn(label.of) && seen(&label.rect)) {
            loose(&mut out, label);
        }
        out + "</svg>\n"
    }

    /// A broad band under the runs that join two ways of a trail.
    fn band(&self, out: &mut String, plant: &Plant, trail: &[(usize, usize)], only: Option<&Only>) {
        let on_it = |(part, port): &(usize, String)| {
            let passages = plant.parts[*part].kind.passages.iter();
            let named = passages.enumerate().find(|(_, p)| port.split_once('.').is_some_and(|(way, _)| way == p.name));
            named.is_some_and(|(passage, _)| trail.contains(&(*part, passage)))
        };
        let drawn = self.runs.iter().filter(|run| Only::pipes(only, run.circuit));
        for run in drawn.filter(|run| on_it(&run.from) && on_it(&run.to)) {
            let _ = writeln!(out, "<path class=\"band\" aria-hidden=\"true\" d=\"{}\"/>", path(&run.points));
        }
    }

    fn pipes(&self, out: &mut String, only: Option<&Only>) {
        *out += "<g class=\"pipes\" aria-hidden=\"true\">\n";
        let drawn = |(circuit, ..): &(Circuit, _, _)| Only::pipes(only, *circuit);
        for (circuit, standing, lines) in super::pipes::pipes(&self.runs).into_iter().filter(drawn) {
            let d: String = lines.iter().map(|line| path(line)).collect();
            let standing = if standing { " standing" } else { "" };
            let _ = writeln!(out, "<path class=\"run {}{standing}\" d=\"{d}\"/>", class_of(circuit));
        }
        let run_of = |net: usize| self.runs.iter().find(|run| run.net == net);
        let circuit = |net: usize| run_of(net).map_or("", |run| class_of(run.circuit));
        let drawn = |net: usize| run_of(net).is_none_or(|run| Only::pipes(only, run.circuit));
        for (net, (x, y)) in self.junctions.iter().filter(|(net, _)| drawn(*net)) {
            let _ = writeln!(out, "<circle class=\"dot {}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3.6\"/>", circuit(*net));
        }
        for (net, at, along) in self.arrows.iter().filter(|(net, ..)| drawn(*net)) {
            let _ = writeln!(out, "<path class=\"arrow {}\" d=\"{}\"/>", circuit(*net), arrow(*at, *along));
        }
        for hung in self.gauges.iter().filter(|hung| Only::gauge(only, hung.gauge)) {
            let _ = writeln!(out, "<path class=\"leader\" d=\"{}\"/>", path(&hung.leader));
        }
        *out += "</g>\n";
    }

    fn part(&self, out: &mut String, plant: &Plant, live: &Live, part: usize) {
        let (this, drawn) = (&plant.parts[part], &self.pieces[part]);
        let name = escaped(&this.name);
        let mark = live.marked.get(part).and_then(Option::as_ref);
        // The name holds what is written, word for word, so that who speaks to the page can say what they see.
        let written = self.labels.iter().filter(|label| label.of == Of::Part(part)).flat_map(|label| &label.lines);
        let written = written.fold(String::new(), |said, line| match said.as_str() {
            "" => line.clone(),
            broken if broken.ends_with('-') => said + line,
            _ => said + " " + line,
        });
        let mut words = format!("{}, {}", escaped(this.kind.title), escaped(&written));
        words.extend(mark.map(|mark| format!(", {}", escaped(mark))));
        let marked = if mark.is_some() { " marked" } else { "" };
        let (open, close) = match &live.link {
            Some(address) => {
                let address = escaped(address).replace("{}", &name);
                (format!("<a class=\"part{marked}\" href=\"{address}\""), "</a>")
            }
            None => (format!("<g class=\"part{marked}\" role=\"img\""), "</g>"),
        };
        let _ = writeln!(out, "{open} data-part=\"{name}\" aria-label=\"{words}\"><title>{words}</title>");
        rect(out, "hit", &thumb(drawn.rect));
        if mark.is_some() {
            rect(out, "mark", &drawn.rect.grown(2.0));
            rect(out, "mark", &drawn.rect.grown(5.0));
        }
        symbol(out, plant, part, drawn);
        self.within(out, part);
        for label in self.labels.iter().filter(|label| label.of == Of::Part(part)) {
            let extra: Vec<String> = mark.map(|mark| mark.to_uppercase()).into_iter().collect();
            lines(out, label, drawn.rect.middle().0, &extra);
        }
        let _ = writeln!(out, "{close}");
        letters_in(out, plant, part, drawn);
    }

    /// What runs through a block, thin, from where it comes in to where it leaves.
    fn within(&self, out: &mut String, part: usize) {
        let drawn = &self.pieces[part];
        let Rect { x, w, .. } = drawn.rect;
        let ends = drawn.ports.iter().filter_map(|port| Some((port, port.name.strip_suffix(".in")?)));
        let mut deep = 2.0 * BEND;
        for (enters, passage) in ends {
            let leaves = drawn.ports.iter().find(|port| port.name.strip_suffix(".out") == Some(passage));
            let run = self.runs.iter().find(|run| run.to == (part, enters.name.clone()));
            let (Some(leaves), Some(run)) = (leaves.filter(|_| drawn.block), run) else { continue };
            let (a, b) = (enters.at, leaves.at);
            let turn = if a.0 == x { x + deep } else { x + w - deep };
            deep += if a.1 == b.1 { 0.0 } else { BEND };
            let _ = writeln!(
                out,
                "<path class=\"line {}\" d=\"M{:.1} {:.1}H{turn:.1}V{:.1}H{:.1}\"/>",
                class_of(run.circuit),
                a.0,
                a.1,
                b.1,
                b.0
            );
        }
    }

    fn gauge(&self, out: &mut String, plant: &Plant, live: &Live, hung: &Hung) {
        let this = &plant.gauges[hung.gauge];
        let shown = live.gauges.get(hung.gauge);
        let state = shown.map_or("", |shown| match shown.state {
            State::AsExpected => "",
            State::Off => " off",
            State::Stale => " stale",
            State::NoReading => " none",
        });
        let name = escaped(&this.name);
        let (x, y) = hung.circle.middle();
        let _ = writeln!(
            out,
            "<g class=\"gauge{state}\" data-gauge=\"{name}\"><title>{}, {name}</title>",
            escaped(this.kind.title)
        );
        let _ =
            writeln!(out, "<circle class=\"outline\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\"/>", hung.circle.w / 2.0);
        let _ = writeln!(
            out,
            "<circle class=\"ring\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\"/>",
            hung.circle.w / 2.0 - 3.0
        );
        let letters = super::taps::letters(this);
        let _ = writeln!(
            out,
            "<text class=\"inside\" aria-hidden=\"true\" x=\"{x:.1}\" y=\"{:.1}\">{letters}</text>",
            y + 4.0
        );
        for label in self.labels.iter().filter(|label| label.of == Of::Gauge(hung.gauge)) {
            let Rect { x, y, w, h } = label.rect;
            let (x, class) = match hung.stands {
                Stands::Right => (x, ""),
                Stands::Left => (x + w, " left"),
                Stands::Over | Stands::Under => (x + w / 2.0, " middle"),
            };
            let count = label.lines.len() + usize::from(shown.is_some());
            let spare = h - LINE * count as f64;
            let top = match hung.stands {
                Stands::Right | Stands::Left => y + spare / 2.0,
                Stands::Over => y + spare,
                Stands::Under => y,
            };
            for (k, line) in label.lines.iter().enumerate() {
                text(out, &format!("soft{class}"), (x, top + k as f64 * LINE + FOOT), line);
            }
            if let Some(shown) = shown {
                text(out, &format!("value{class}"), (x, top + (count - 1) as f64 * LINE + FOOT), &shown.text);
            }
        }
        *out += "</g>\n";
    }
}

/// Text that belongs to neither part nor gauge.
fn loose(out: &mut String, label: &Label) {
    let Rect { x, y, w, h } = label.rect;
    match label.of {
        Of::Part(_) | Of::Gauge(_) => {}
        Of::Note => text(out, "soft", (x, y + FOOT), &label.lines[0]),
        Of::Letters(circuit) if label.upright => {
            let (cx, cy) = (x + w - 2.6, y + h / 2.0);
            let _ = writeln!(
                out,
                "<text class=\"letters middle {}\" transform=\"translate({cx:.1} {cy:.1})rotate(-90)\">{}</text>",
                class_of(circuit),
                label.lines[0]
            );
        }
        Of::Letters(circuit) => {
            text(out, &format!("letters middle {}", class_of(circuit)), (x + w / 2.0, y + h - 2.6), &label.lines[0]);
        }
        Of::Legend(circuit) => {
            let (class, middle) = (class_of(circuit), y + h / 2.0);
            let _ = writeln!(out, "<path class=\"run {class}\" d=\"M{x:.1} {middle:.1}H{:.1}\"/>", x + SWATCH);
            let _ = writeln!(
                out,
                "<path class=\"arrow {class}\" d=\"{}\"/>",
                arrow((x + SWATCH / 2.0, middle), (1.0, 0.0))
            );
            text(out, "soft", (x + SWATCH + 6.0, y + FOOT), &label.lines[0]);
        }
    }
}

/// The lines of a part's label: middle under its symbol, or from the side that is near to it.
fn lines(out: &mut String, label: &Label, middle: f64, extra: &[String]) {
    let Rect { x, y, w, h } = label.rect;
    let (at, class) = match () {
        () if (x + w / 2.0 - middle).abs() < 1.0 => (x + w / 2.0, " middle"),
        () if x > middle => (x, ""),
        () => (x + w, " left"),
    };
    let count = label.lines.len() + extra.len();
    // A label over its symbol stands down upon it.
    let top = if label.above { y + h - LINE * count as f64 } else { y };
    let all = label.lines.iter().map(|line| (line, "")).chain(extra.iter().map(|line| (line, "word")));
    for (k, (line, kind)) in all.enumerate() {
        text(out, &format!("{kind}{class}"), (at, top + k as f64 * LINE + FOOT), line);
    }
}

fn symbol(out: &mut String, plant: &Plant, part: usize, drawn: &Drawn) {
    let this = &plant.parts[part];
    let symbol = &this.kind.symbol;
    let Rect { x, y, w, h } = drawn.rect;
    if symbol.block {
        rect(out, "outline", &drawn.rect);
        return;
    }
    let state = match opening(this) {
        Some(opening) if opening <= 0.01 => " shut",
        Some(opening) if opening < 0.99 => " part-open",
        _ => "",
    };
    let across = if drawn.mirrored { (x + w, -1) } else { (x, 1) };
    let down = if drawn.flipped { (y + h, -1) } else { (y, 1) };
    let turned =
        if drawn.mirrored || drawn.flipped { format!("scale({} {})", across.1, down.1) } else { String::new() };
    let _ = writeln!(out, "<g transform=\"translate({:.1} {:.1}){turned}\">", across.0, down.0);
    for stroke in symbol.strokes {
        let class = match stroke {
            Stroke::Outline(_) => format!("outline{state}"),
            Stroke::Line(_) => "line".into(),
            Stroke::Dashed(_) => "dashed".into(),
            Stroke::Solid(_) => "solid".into(),
        };
        let _ = writeln!(out, "<path class=\"{class}\" d=\"{}\"/>", stroke.path());
    }
    *out += "</g>\n";
}

/// Letters inside a symbol: beside its link, for they are no part of its name.
fn letters_in(out: &mut String, plant: &Plant, part: usize, drawn: &Drawn) {
    let letters = plant.parts[part].kind.symbol.letters;
    let (x, y) = drawn.rect.middle();
    if !letters.is_empty() {
        text(out, "inside", (x, y + 4.0), letters);
    }
}

fn rect(out: &mut String, class: &str, Rect { x, y, w, h }: &Rect) {
    let _ = writeln!(out, "<rect class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\"/>");
}

fn text(out: &mut String, class: &str, (x, y): Point, words: &str) {
    let class = class.trim();
    let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
    let _ = writeln!(out, "<text{class} x=\"{x:.1}\" y=\"{y:.1}\">{}</text>", escaped(words));
}

fn path(points: &[Point]) -> String {
    let mut path = String::new();
    for (k, (x, y)) in points.iter().enumerate() {
        let _ = write!(path, "{}{x:.1} {y:.1}", if k == 0 { "M" } else { "L" });
    }
    path
}

fn arrow((x, y): Point, (dx, dy): Point) -> String {
    let (long, wide) = ARROW;
    let (tip, back) = ((x + dx * long, y + dy * long), (x - dx * long, y - dy * long));
    let (sx, sy) = (-dy * wide, dx * wide);
    format!("M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}Z", tip.0, tip.1, back.0 + sx, back.1 + sy, back.0 - sx, back.1 - sy)
}

/// What is tapped, of a symbol in this place [px]: as much around it as a thumb needs.
pub fn thumb(of: Rect) -> Rect {
    let (x, y) = of.middle();
    let (w, h) = (of.w.max(THUMB), of.h.max(THUMB));
    Rect { x: x - w / 2.0, y: y - h / 2.0, w, h }
}

fn class_of(circuit: Circuit) -> &'static str {
    match circuit {
        Circuit::RawWater => "c-rw",
        Circuit::FreshWater => "c-fw",
        Circuit::Oil => "c-lo",
        Circuit::Exhaust => "c-ex",
        Circuit::GearOil => "c-go",
        Circuit::Fuel => "c-fo",
        Circuit::Air => "c-ar",
        Circuit::Bilge => "c-bw",
        Circuit::Drive | Circuit::Charging | Circuit::Gauges => "c-dr",
    }
}

/// Safe in text and between double quotes; what no XML may hold is left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}
