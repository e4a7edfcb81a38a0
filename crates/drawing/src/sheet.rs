//! The sheet: columns, rows and the tracks between them as numbered lines; runs are laid on the lines first, and where
//! a line lies on the page is settled last, so that there is room for what is written.

use super::choice::Choice;
use super::columns::Columns;
use super::graph::{Graph, Side};
use super::route::{Grid, Step, Terminal, cost, route};
use super::rows::Rows;
use super::shape::Rect;

/// Distance of neighbouring runs [px].
const TRACK: f64 = 16.0;
/// Least distance of two columns' pieces [px].
const BESIDE: f64 = 26.0;
/// How far a block reaches beyond its first and last row [px].
const BLOCK: f64 = 30.0;
/// Margin of the sheet [px].
const MARGIN: f64 = 24.0;
/// Tracks in every channel to begin with; more if a run finds no way.
const TRACKS: [usize; 3] = [3, 5, 9];

/// A line that runs may follow: a track of a channel before a column or row, or a line at this distance from the
/// middle of a column or row [px].
#[derive(Copy, Clone, Debug, PartialEq)]
enum Line {
    Track(usize),
    In(usize, f64),
}

/// A plant with every piece in its cell and every run on its lines.
pub(super) struct Sheet {
    pub graph: Graph,
    pub columns: Columns,
    pub rows: Rows,
    pub runs: Vec<Vec<Step>>,
    pub grid: Grid,
    x: Vec<Line>,
    y: Vec<Line>,
    column_count: usize,
    pub tracks: usize,
}

/// Room for what is written, by row and by column [px].
#[derive(Clone)]
pub(super) struct Room {
    pub above: Vec<f64>,
    pub below: Vec<f64>,
    pub wide: Vec<f64>,
    pub beside: Vec<f64>,
}

/// Where everything lies [px].
pub(super) struct Places {
    pub boxes: Vec<Rect>,
    pub x: Vec<f64>,
    pub y: Vec<f64>,
    pub rows: Vec<f64>,
    pub size: (f64, f64),
}

impl Sheet {
    /// Lays the runs of a graph, with no fewer tracks to a channel than are known to be enough.
    pub fn new(mut graph: Graph, choice: &Choice, enough: usize) -> Sheet {
        let columns = Columns::of(&graph, &choice.lanes);
        super::turn::face(&mut graph, &columns);
        let rows = Rows::of(&graph, &columns, &choice.lanes);
        super::turn::turn(&mut graph, &columns, &rows, choice);
        let column_count = columns.of.iter().max().map_or(1, |last| last + 1);
        let grid = Grid { x: vec![], y: vec![], blocked: vec![] };
        let mut sheet =
            Sheet { graph, columns, rows, runs: vec![], grid, x: vec![], y: vec![], column_count, tracks: 0 };
        for tracks in TRACKS.into_iter().filter(|tracks| *tracks >= enough) {
            sheet.rule(tracks);
            let ends: Vec<Vec<Terminal>> = sheet
                .graph
                .nets
                .iter()
                .map(|net| {
                    net.sinks.iter().chain(&net.sources).chain(&net.hanging).map(|port| sheet.terminal(*port)).collect()
                })
                .collect();
            (sheet.runs, sheet.tracks) = (route(&sheet.grid, &ends), tracks);
            if sheet.cost().is_some() {
                break;
            }
        }
        sheet.runs.resize(sheet.graph.nets.len(), vec![]);
        sheet
    }

    /// What the runs cost, as a router counts it; nothing if a run found no way.
    pub fn cost(&self) -> Option<u32> {
        let laid = self.graph.nets.iter().zip(&self.runs).all(|(_, steps)| !steps.is_empty());
        laid.then(|| cost(&self.grid, &self.runs))
    }

    /// How far the line that a piece is threaded on lies below its upper edge [px].
    pub fn axis(&self, piece: usize) -> f64 {
        let piece = &self.graph.pieces[piece];
        let across = piece.ports.iter().map(|port| &self.graph.ports[*port]);
        let first = across.into_iter().find(|port| matches!(port.side, Side::Left | Side::Right));
        first.map_or(piece.symbol.size.1 / 2.0, |port| port.at.1)
    }

    pub fn row_of(&self, port: usize) -> usize {
        self.rows.ports.get(&port).copied().unwrap_or(self.rows.of[self.graph.ports[port].piece])
    }

    /// Width of the widest piece of a column [px].
    pub fn widest(&self, column: usize) -> f64 {
        let here = (0..self.graph.pieces.len()).filter(|p| self.columns.of[*p] == column);
        here.map(|p| self.graph.pieces[p].symbol.size.0).fold(0.0, f64::max)
    }

    /// Where a port's run begins on the grid.
    pub fn terminal(&self, port: usize) -> Terminal {
        let this = &self.graph.ports[port];
        let (column, row) = (self.columns.of[this.piece], self.row_of(port));
        let offset = this.at.0 - self.graph.pieces[this.piece].symbol.size.0 / 2.0;
        let find = |lines: &[Line], line: Line| lines.iter().position(|l| *l == line).unwrap_or(0);
        let first = |lines: &[Line], channel: usize| find(lines, Line::Track(channel));
        let last = |lines: &[Line], channel: usize| lines.iter().rposition(|l| *l == Line::Track(channel)).unwrap_or(0);
        let (x, y) = match this.side {
            Side::Left => (last(&self.x, column), find(&self.y, Line::In(row, 0.0))),
            Side::Right => (first(&self.x, column + 1), find(&self.y, Line::In(row, 0.0))),
            Side::Top => (find(&self.x, Line::In(column, offset)), last(&self.y, row)),
            Side::Bottom => (find(&self.x, Line::In(column, offset)), first(&self.y, row + 1)),
        };
        Terminal { at: self.grid.vertex(x, y), across: matches!(this.side, Side::Left | Side::Right) }
    }

    /// Rules the lines, and marks what pieces stand on.
    fn rule(&mut self, tracks: usize) {
        let channel = |k: usize| std::iter::repeat_n(Line::Track(k), tracks);
        let offsets = |column: usize| {
            let ports = self.graph.ports.iter().filter(|p| p.net != usize::MAX && self.columns.of[p.piece] == column);
            let upright = ports.filter(|p| matches!(p.side, Side::Top | Side::Bottom));
            let mut found: Vec<f64> =
                upright.map(|p| p.at.0 - self.graph.pieces[p.piece].symbol.size.0 / 2.0).chain([0.0]).collect();
            found.sort_by(f64::total_cmp);
            found.dedup();
            found.into_iter().map(move |offset| Line::In(column, offset))
        };
        let x: Vec<Line> = (0..self.column_count).flat_map(|c| channel(c).chain(offsets(c))).collect();
        let x: Vec<Line> = x.into_iter().chain(channel(self.column_count)).collect();
        let rows = self.rows.count;
        let y: Vec<Line> = (0..rows).flat_map(|r| channel(r).chain([Line::In(r, 0.0)])).chain(channel(rows)).collect();
        let mut grid = Grid { x: about(&x, tracks), y: about(&y, tracks), blocked: vec![false; x.len() * y.len()] };
        for piece in 0..self.graph.pieces.len() {
            let column = self.columns.of[piece];
            let (top, bottom) = match self.rows.block {
                Some(rows) if self.graph.pieces[piece].symbol.block => rows,
                _ => (self.rows.of[piece], self.rows.of[piece]),
            };
            let from = y.iter().position(|line| *line == Line::In(top, 0.0)).unwrap_or(0);
            let to = y.iter().position(|line| *line == Line::In(bottom, 0.0)).unwrap_or(0);
            for (at, _) in x.iter().enumerate().filter(|(_, line)| matches!(line, Line::In(c, _) if *c == column)) {
                (from..=to).for_each(|line| {
                    let vertex = line * x.len() + at;
                    grid.blocked[vertex] = true;
                });
            }
        }
        (self.x, self.y, self.grid) = (x, y, grid);
    }

    /// Where everything lies, with this room.
    pub fn places(&self, room: &Room) -> Places {
        let (mut across, mut upright) = (vec![false; self.y.len()], vec![false; self.x.len()]);
        for (at, is_across) in self.runs.iter().flatten() {
            let (x, y) = self.grid.place(*at);
            if *is_across { across[y] = true } else { upright[x] = true }
        }
        let columns: Vec<Span> = (0..self.column_count)
            .map(|c| {
                let half = room.wide[c] / 2.0;
                Span { before: half, after: half, low: 0.0, high: 0.0, least: BESIDE + room.beside[c] }
            })
            .collect();
        let rows: Vec<Span> = (0..self.rows.count)
            .map(|row| {
                let here = (0..self.graph.pieces.len())
                    .filter(|p| self.rows.of[*p] == row && !self.graph.pieces[*p].symbol.block);
                let up = here.clone().map(|p| self.axis(p)).fold(0.0, f64::max);
                let down = here.map(|p| self.graph.pieces[p].symbol.size.1 - self.axis(p)).fold(0.0, f64::max);
                let at_end = |end: fn(&(usize, usize)) -> usize| self.rows.block.as_ref().map(end) == Some(row);
                let up = if at_end(|block| block.0) { up.max(BLOCK) } else { up };
                let down = if at_end(|block| block.1) { down.max(BLOCK) } else { down };
                Span { before: up, after: down, low: room.above[row], high: room.below[row], least: 0.0 }
            })
            .collect();
        let (x, middles, width) = spread(&self.x, &upright, &columns);
        let (y, heights, height) = spread(&self.y, &across, &rows);
        let boxes = (0..self.graph.pieces.len()).map(|piece| {
            let (w, h) = self.graph.pieces[piece].symbol.size;
            let left = middles[self.columns.of[piece]] - w / 2.0;
            match self.rows.block {
                Some((top, bottom)) if self.graph.pieces[piece].symbol.block => {
                    Rect { x: left, y: heights[top] - BLOCK, w, h: heights[bottom] - heights[top] + 2.0 * BLOCK }
                }
                _ => Rect { x: left, y: heights[self.rows.of[piece]] - self.axis(piece), w, h },
            }
        });
        Places { boxes: boxes.collect(), x, y, rows: heights, size: (width, height) }
    }
}

/// A column or row: how far it reaches from its middle, what is written beyond, least width of the channel before it.
struct Span {
    before: f64,
    after: f64,
    low: f64,
    high: f64,
    least: f64,
}

/// About where lines lie [px]: a hundred to a column or row, and the tracks of a channel close together.
fn about(lines: &[Line], tracks: usize) -> Vec<u32> {
    let mut nth = 0;
    lines
        .iter()
        .map(|line| match line {
            Line::Track(k) => {
                nth = if nth > tracks as u32 { 1 } else { nth + 1 };
                *k as u32 * 120 + nth * (40 / tracks as u32).max(1)
            }
            Line::In(k, offset) => {
                nth = 0;
                (*k as f64 * 120.0 + 80.0 + *offset) as u32
            }
        })
        .collect()
}

/// Places of lines, of the middles of columns or rows, and the whole [px].
fn spread(lines: &[Line], used: &[bool], spans: &[Span]) -> (Vec<f64>, Vec<f64>, f64) {
    let mut places = vec![0.0; lines.len()];
    let mut middles = vec![0.0; spans.len()];
    let mut at = MARGIN;
    for channel in 0..=spans.len() {
        let tracks: Vec<usize> = (0..lines.len()).filter(|k| lines[*k] == Line::Track(channel)).collect();
        let laid: Vec<usize> = tracks.iter().copied().filter(|k| used[*k]).collect();
        at += channel.checked_sub(1).map_or(0.0, |k| spans[k].high);
        let least = if channel == 0 || channel == spans.len() { 0.0 } else { spans[channel].least };
        let needed = if laid.is_empty() { 6.0 } else { TRACK * (laid.len() + 1) as f64 };
        let width = needed.max(least);
        let first = at + (width - TRACK * (laid.len().saturating_sub(1)) as f64) / 2.0;
        for track in &tracks {
            places[*track] = at + width / 2.0;
        }
        laid.iter().enumerate().for_each(|(n, k)| places[*k] = first + n as f64 * TRACK);
        at += width;
        let Some(span) = spans.get(channel) else { break };
        at += span.low + span.before;
        at = at.ceil();
        middles[channel] = at;
        for (k, line) in lines.iter().enumerate() {
            if let Line::In(c, offset) = line
                && *c == channel
            {
                places[k] = at + offset;
            }
        }
        at += span.after;
    }
    (places, middles, at + MARGIN)
}
