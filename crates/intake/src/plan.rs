//! What a table is like: its separator, headings, units, decimals, times. Told from its first lines.

use crate::clock::ClockAsked;
use crate::columns::{Column, Renamed, Role, column, is_unit};
use crate::fault::Refusal;
use crate::lines::{shown, text};
use crate::moment::{self, Moment, Order, offset, slashed};
use crate::table::Cells;
use crate::value::{Decimal, decimal_of};
use jiff::tz::{Offset, TimeZone};
use plant::plant::Plant;

/// Lines looked at.
const LOOKED_AT: usize = 400;
/// Headings stand within so many lines; a logger may write of itself before them.
const BEFORE_HEADINGS: usize = 40;
/// Separators, those first that hardly stand in a cell.
const SEPARATORS: [u8; 4] = [b'\t', b';', b'|', b','];

/// What a table is like.
#[derive(Clone, Debug)]
pub struct TablePlan {
    /// What stands between cells.
    pub separator: u8,
    /// How decimals are set off.
    pub decimal: Decimal,
    /// One for each column.
    pub columns: Vec<Column>,
    /// The last line that is no reading: headings, or units under them; 0 if there are none.
    pub begins: u64,
    /// The line of headings as it stands, for files that were put together repeat it.
    pub headings: Vec<u8>,
    pub(crate) time: Option<usize>,
    pub(crate) date: Option<usize>,
    pub(crate) zone: Option<usize>,
    pub(crate) name: Option<usize>,
    pub(crate) value: Option<usize>,
    pub(crate) unit: Option<usize>,
}

impl TablePlan {
    /// Whether each gauge has a column of its own.
    pub fn is_wide(&self) -> bool {
        self.name.is_none() || self.value.is_none()
    }
}

type Row = (u64, Vec<Vec<u8>>);

/// What is asked of a table.
pub(crate) struct TableAsked<'a> {
    pub plant: &'a Plant,
    pub renamed: &'a [Renamed],
    pub decimal: Option<Decimal>,
}

/// What the table is like whose first lines these are; `clock` is told what its headings and dates say of the time.
pub(crate) fn plan(head: &[u8], asked: &TableAsked<'_>, clock: &mut ClockAsked) -> Result<TablePlan, Refusal> {
    let lines: Vec<(u64, &[u8])> = (1..)
        .zip(head.split(|byte| *byte == b'\n'))
        .map(|(number, line)| (number, line.strip_suffix(b"\r").unwrap_or(line)))
        .filter(|(_, line)| !line.trim_ascii().is_empty() && !line.starts_with(b"#"))
        .take(LOOKED_AT)
        .collect();
    let (separator, count) = separator(&lines).ok_or(Refusal::NoForm)?;
    let mut cells = Cells::default();
    let rows: Vec<Row> = lines
        .iter()
        .filter_map(|(number, line)| {
            let (plain, ranges) = cells.cut(line, separator)?;
            Some((*number, ranges.iter().map(|range| plain[range.clone()].to_vec()).collect()))
        })
        .collect();
    let first = rows.iter().take(BEFORE_HEADINGS).position(|(_, row)| row.len() == count).ok_or(Refusal::NoForm)?;
    let bare = rows[first].1.iter().any(|cell| class(cell).is_some_and(|class| class != Class::Count));
    let headings: Vec<String> = if bare {
        (1..=count).map(|number| number.to_string()).collect()
    } else {
        rows[first].1.iter().map(|cell| text(cell).trim().to_string()).collect()
    };
    let mut data = if bare { first } else { first + 1 };
    let under = rows.get(data).filter(|(_, row)| !bare && are_units(row)).map(|(_, row)| row.as_slice());
    data += usize::from(under.is_some());
    let begins = if data == 0 { 0 } else { rows[data - 1].0 };
    let rows = rows.get(data..).unwrap_or_default();
    if rows.is_empty() {
        return Err(Refusal::NoRows);
    }
    let mut columns: Vec<Column> = headings
        .iter()
        .enumerate()
        .map(|(place, heading)| {
            let under = under.and_then(|row| row.get(place)).map(|cell| text(cell));
            column(heading, under.as_deref(), place + 1, asked.plant, asked.renamed)
        })
        .collect();
    for renamed in asked.renamed {
        let long = columns.iter().any(|column| matches!(column.role, Role::Name));
        let fits = |(place, column): (usize, &Column)| renamed.is_of(&column.name, &headings[place], place + 1);
        if !long && !columns.iter().enumerate().any(fits) {
            return Err(Refusal::NoColumn { column: renamed.column.clone(), headings });
        }
    }
    let (date, time) = times(&mut columns, rows, &headings)?;
    // "Time [UTC]" says it for the whole column.
    let told = columns[time].unit.clone().unwrap_or_else(|| columns[time].name.clone());
    if let Some(offset) = offset(told.as_bytes()).and_then(|seconds| Offset::from_seconds(seconds).ok()) {
        clock.zone = Some(TimeZone::fixed(offset));
    }
    let place = |wanted: fn(&Role) -> bool| columns.iter().position(|column| wanted(&column.role));
    let zone = place(|role| matches!(role, Role::Zone));
    let name = place(|role| matches!(role, Role::Name));
    let value = place(|role| matches!(role, Role::Value));
    let unit = place(|role| matches!(role, Role::Unit));
    let moments: Vec<Vec<u8>> = rows
        .iter()
        .filter_map(|(_, row)| {
            let cell = |place: usize| row.get(place).map(Vec::as_slice);
            let time = cell(time)?;
            date.map_or_else(|| Some(time.to_vec()), |date| Some([cell(date)?, time].join(&b' ')))
        })
        .collect();
    order_and_zone(&moments.iter().map(Vec::as_slice), zone.is_some(), clock)?;
    let decimal = asked.decimal.unwrap_or_else(|| decimal(rows, &columns, value));
    let line = lines.iter().find(|(number, _)| !bare && *number == begins - u64::from(under.is_some()));
    let headings = line.map(|(_, line)| line.to_vec()).unwrap_or_default();
    let time = Some(time);
    Ok(TablePlan { separator, decimal, columns, begins, headings, time, date, zone, name, value, unit })
}

/// The separator that cuts most lines into as many cells, and how many.
fn separator(lines: &[(u64, &[u8])]) -> Option<(u8, usize)> {
    let mut cells = Cells::default();
    let mut best: Option<(usize, u8, usize)> = None;
    for separator in SEPARATORS {
        let mut counts: Vec<usize> =
            lines.iter().filter_map(|(_, line)| cells.cut(line, separator).map(|(_, cells)| cells.len())).collect();
        counts.sort_unstable();
        let same = counts.chunk_by(|a, b| a == b).filter(|same| same[0] > 1).max_by_key(|same| same.len());
        let Some(same) = same else { continue };
        // A comma in every line of a table with semicolons is a decimal comma.
        if best.is_none_or(|(most, _, _)| same.len() > most + most / 4) {
            best = Some((same.len(), separator, same[0]));
        }
    }
    // Prose has a comma here and there.
    best.filter(|(most, _, _)| most * 2 > lines.len()).map(|(_, separator, count)| (separator, count))
}

fn are_units(row: &[Vec<u8>]) -> bool {
    let cells: Vec<String> = row.iter().map(|cell| text(cell).trim().to_string()).collect();
    let units = cells.iter().filter(|cell| is_unit(cell)).count();
    let words = cells.iter().filter(|cell| !cell.is_empty() && !is_unit(cell)).count();
    // The time's own "unit" may be a word, or how it is written.
    let values = row.iter().any(|cell| {
        class(cell).is_some() || decimal_of(cell).is_some() || cell.iter().all(u8::is_ascii_digit) && !cell.is_empty()
    });
    units > 0 && words <= 2 && units >= words && !values
}

/// What a cell tells of a time.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Class {
    Whole,
    Date,
    Day,
    /// A count since 1970, which a plain number may be too.
    Count,
}

fn class(cell: &[u8]) -> Option<Class> {
    let orders = [Order::DayFirst, Order::MonthFirst];
    let moment = orders.iter().find_map(|order| moment::read(cell, Some(*order)).ok())?;
    let digits = cell.trim_ascii().iter().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    Some(match moment {
        Moment::Universal(_) if digits => Class::Count,
        Moment::Universal(_) | Moment::Offset(..) | Moment::Local(_) => Class::Whole,
        Moment::Date(_) => Class::Date,
        Moment::Day(_) => Class::Day,
    })
}

/// The columns of the date, if it stands apart, and of the time; others that tell a time are left out.
fn times(columns: &mut [Column], rows: &[Row], headings: &[String]) -> Result<(Option<usize>, usize), Refusal> {
    // What most cells of a column are.
    let of = |place: usize| {
        let cells = || rows.iter().filter_map(|(_, row)| row.get(place)).filter(|cell| !cell.trim_ascii().is_empty());
        let classes: Vec<Option<Class>> = cells().map(|cell| class(cell)).collect();
        let most = classes.iter().flatten().next().copied()?;
        let same = classes.iter().filter(|class| **class == Some(most)).count();
        (same * 2 > classes.len()).then_some(most)
    };
    let found: Vec<Option<Class>> = (0..columns.len()).map(of).collect();
    let find = |class: Class, named: bool| {
        let open =
            |role: &Role| matches!(role, Role::Time | Role::Date) || (!named && matches!(role, Role::Unknown { .. }));
        (0..columns.len()).find(|place| found[*place] == Some(class) && open(&columns[*place].role))
    };
    let utc = |place: usize| {
        let column = &columns[place];
        offset(column.name.as_bytes()).is_some()
            || column.unit.as_ref().is_some_and(|unit| offset(unit.as_bytes()).is_some())
    };
    let whole: Vec<usize> = (0..columns.len())
        .filter(|place| found[*place] == Some(Class::Whole) && matches!(columns[*place].role, Role::Time | Role::Date))
        .collect();
    let whole = whole.iter().copied().find(|place| utc(*place)).or(whole.first().copied());
    let chosen = whole
        .or_else(|| find(Class::Count, true))
        .map(|place| (None, place))
        .or_else(|| Some((Some(find(Class::Date, false)?), find(Class::Day, false)?)))
        .or_else(|| find(Class::Whole, false).map(|place| (None, place)))
        .or_else(|| find(Class::Count, false).filter(|place| *place == 0).map(|place| (None, place)))
        .or_else(|| find(Class::Day, true).map(|place| (None, place)));
    let Some((date, time)) = chosen else {
        let asked = columns.iter().position(|column| matches!(column.role, Role::Time));
        // Asked for, and no time: its lines are told one by one.
        let headings = headings.iter().map(|heading| shown(heading.as_bytes())).collect();
        return asked.map(|place| (None, place)).ok_or(Refusal::NoTime { headings });
    };
    for (place, column) in columns.iter_mut().enumerate() {
        match column.role {
            _ if place == time => column.role = Role::Time,
            _ if Some(place) == date => column.role = Role::Date,
            Role::Time | Role::Date => column.role = Role::Ignored,
            _ => {}
        }
    }
    Ok((date, time))
}

/// Sees to it that times can be told: which of day and month comes first, which zone, which day.
pub(crate) fn order_and_zone<'a>(
    moments: &(impl Iterator<Item = &'a [u8]> + Clone),
    zone_told: bool,
    clock: &mut ClockAsked,
) -> Result<(), Refusal> {
    if clock.order.is_none() {
        let pairs = || moments.clone().filter_map(|text| slashed(text).map(|pair| (pair, text)));
        let day_first = pairs().any(|((first, _), _)| first > 12);
        let month_first = pairs().any(|((_, second), _)| second > 12);
        clock.order = match (day_first, month_first) {
            (true, false) => Some(Order::DayFirst),
            (false, true) => Some(Order::MonthFirst),
            _ => None,
        };
        if let Some((_, text)) = pairs().find(|((first, second), _)| first != second).filter(|_| clock.order.is_none())
        {
            let date = |order| match moment::read(text, Some(order)) {
                Ok(Moment::Local(ms) | Moment::Date(ms) | Moment::Universal(ms) | Moment::Offset(ms, _)) => spelt(ms),
                _ => "no date".into(),
            };
            return Err(Refusal::Ambiguous {
                example: shown(text),
                day_first: date(Order::DayFirst),
                month_first: date(Order::MonthFirst),
            });
        }
    }
    let order = clock.order;
    let read = |text: &[u8]| moment::read(text, order).ok();
    let day = |text: &&[u8]| matches!(read(text), Some(Moment::Day(_)));
    if let Some(text) = moments.clone().find(day).filter(|_| clock.day.is_none()) {
        return Err(Refusal::NoDay { example: shown(text) });
    }
    let bare = |text: &&[u8]| matches!(read(text), Some(Moment::Local(_) | Moment::Day(_)));
    match moments.clone().find(bare) {
        Some(text) if clock.zone.is_none() && !zone_told => Err(Refusal::NoZone { example: shown(text) }),
        _ => Ok(()),
    }
}

fn spelt(ms: i64) -> String {
    let time = jiff::Timestamp::from_millisecond(ms).map(|time| time.strftime("%-d %B %Y").to_string());
    time.unwrap_or_else(|_| "no date".into())
}

/// How the numbers set off their decimals: by the cells that can tell.
fn decimal(rows: &[Row], columns: &[Column], value: Option<usize>) -> Decimal {
    let numbers =
        |place: usize| Some(place) == value || matches!(columns[place].role, Role::Gauge(_) | Role::Unknown { .. });
    let cells = rows
        .iter()
        .flat_map(|(_, row)| row.iter().enumerate().filter(|(place, _)| *place < columns.len() && numbers(*place)));
    let told: Vec<Decimal> = cells.filter_map(|(_, cell)| decimal_of(cell)).collect();
    let commas = told.iter().filter(|decimal| **decimal == Decimal::Comma).count();
    if commas * 2 > told.len() { Decimal::Comma } else { Decimal::Point }
}
