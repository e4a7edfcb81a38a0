//! A chart as SVG: points with intervals over two axes, legible on light and on dark pages.

use std::fmt::Write as _;

/// One row of points.
pub struct Series {
    /// Its name in the legend.
    pub name: String,
    /// Points: across, up, low and high end of the interval.
    pub points: Vec<(f64, f64, f64, f64)>,
    /// Joined by a line.
    pub joined: bool,
}

/// A chart.
pub struct Chart {
    /// What it shows, for those who cannot see it.
    pub title: String,
    /// Words along the axes.
    pub across: String,
    pub up: String,
    /// Marks: value and words.
    pub marks_across: Vec<(f64, String)>,
    pub marks_up: Vec<(f64, String)>,
    /// Ends of the axes.
    pub from: (f64, f64),
    pub to: (f64, f64),
    /// A line from corner to corner: as told, so it is.
    pub diagonal: bool,
    /// What is shown.
    pub series: Vec<Series>,
}

/// Size of the picture and margins round the field: left, top, right, bottom [px].
const SIZE: (f64, f64) = (560.0, 400.0);
const MARGIN: (f64, f64, f64, f64) = (64.0, 16.0, 150.0, 52.0);
/// Colours that keep apart for most eyes, on light and on dark; shapes tell the same. From memory, after Okabe and Ito.
const COLOURS: [(&str, &str); 4] =
    [("#0060a0", "#6bb8f0"), ("#b05000", "#f0a050"), ("#007050", "#50c8a0"), ("#903070", "#e090c0")];

impl Chart {
    /// As SVG.
    pub fn svg(&self) -> String {
        let mut text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">\n<title>{}</title>\n<style>\n",
            SIZE.0, SIZE.1, self.title, self.title
        );
        text += &style(false);
        let _ = writeln!(text, "@media (prefers-color-scheme: dark) {{\n{}}}\n</style>", style(true));
        self.axes(&mut text);
        for (k, series) in self.series.iter().enumerate() {
            self.series(k, series, &mut text);
        }
        text + "</svg>\n"
    }

    fn x(&self, value: f64) -> f64 {
        let share = (value - self.from.0) / (self.to.0 - self.from.0);
        MARGIN.0 + share * (SIZE.0 - MARGIN.0 - MARGIN.2)
    }

    fn y(&self, value: f64) -> f64 {
        let share = (value - self.from.1) / (self.to.1 - self.from.1);
        SIZE.1 - MARGIN.3 - share.clamp(0.0, 1.0) * (SIZE.1 - MARGIN.1 - MARGIN.3)
    }

    fn axes(&self, text: &mut String) {
        let (left, right) = (self.x(self.from.0), self.x(self.to.0));
        let (bottom, top) = (self.y(self.from.1), self.y(self.to.1));
        for (value, words) in &self.marks_up {
            let y = self.y(*value);
            let _ = writeln!(text, "<path class=\"grid\" d=\"M{left:.1} {y:.1}H{right:.1}\"/>");
            let _ =
                writeln!(text, "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{words}</text>", left - 6.0, y + 4.0);
        }
        for (value, words) in &self.marks_across {
            let x = self.x(*value);
            let _ = writeln!(text, "<path class=\"grid\" d=\"M{x:.1} {top:.1}V{bottom:.1}\"/>");
            let _ =
                writeln!(text, "<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{words}</text>", bottom + 17.0);
        }
        let _ = writeln!(text, "<path class=\"axis\" d=\"M{left:.1} {top:.1}V{bottom:.1}H{right:.1}\"/>");
        if self.diagonal {
            let _ = writeln!(text, "<path class=\"even\" d=\"M{left:.1} {bottom:.1}L{right:.1} {top:.1}\"/>");
        }
        let (middle, height) = (0.5 * (left + right), 0.5 * (bottom + top));
        let _ = writeln!(
            text,
            "<text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            SIZE.1 - 12.0,
            self.across
        );
        let _ = writeln!(
            text,
            "<text transform=\"translate(16 {height:.1}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
            self.up
        );
    }

    fn series(&self, k: usize, series: &Series, text: &mut String) {
        let _ = writeln!(text, "<g class=\"s{}\">", k % COLOURS.len());
        if series.joined {
            let at: Vec<String> =
                series.points.iter().map(|p| format!("{:.1} {:.1}", self.x(p.0), self.y(p.1))).collect();
            let _ = writeln!(text, "<path class=\"line\" d=\"M{}\"/>", at.join("L"));
        }
        for (across, up, low, high) in &series.points {
            let (x, y) = (self.x(*across), self.y(*up));
            let _ = writeln!(text, "<path class=\"line\" d=\"M{x:.1} {:.1}V{:.1}\"/>", self.y(*low), self.y(*high));
            text.push_str(&shape(k, x, y));
        }
        let (x, y) = (SIZE.0 - MARGIN.2 + 18.0, MARGIN.1 + 14.0 + 20.0 * k as f64);
        text.push_str(&shape(k, x, y - 4.0));
        let _ = writeln!(text, "</g>\n<text x=\"{:.1}\" y=\"{y:.1}\">{}</text>", x + 10.0, series.name);
    }
}

/// A mark of its own for each series.
fn shape(k: usize, x: f64, y: f64) -> String {
    match k % COLOURS.len() {
        0 => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4\"/>\n"),
        1 => format!("<rect x=\"{:.1}\" y=\"{:.1}\" width=\"7\" height=\"7\"/>\n", x - 3.5, y - 3.5),
        2 => format!("<path d=\"M{x:.1} {:.1}l4.5 8h-9z\"/>\n", y - 5.0),
        _ => format!("<path d=\"M{x:.1} {:.1}l5 5l-5 5l-5 -5z\"/>\n", y - 5.0),
    }
}

fn style(dark: bool) -> String {
    let pick = |light: &'static str, night: &'static str| if dark { night } else { light };
    let (ink, grid) = (pick("#222222", "#dddddd"), pick("#dddddd", "#444444"));
    let mut text = format!(
        "text {{ font: 12px sans-serif; fill: {ink} }}\n.grid {{ stroke: {grid}; fill: none }}\n\
         .axis, .even {{ stroke: {ink}; fill: none }}\n.even {{ stroke-dasharray: 4 4 }}\n.line {{ fill: none }}\n"
    );
    for (k, (light, night)) in COLOURS.iter().enumerate() {
        let colour = pick(light, night);
        let _ = writeln!(text, ".s{k} {{ fill: {colour}; stroke: {colour} }}");
        let _ = writeln!(text, ".s{k} .line {{ fill: none }}");
    }
    text
}
