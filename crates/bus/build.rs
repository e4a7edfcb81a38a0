//! Turns `messages.toml` into the tables of `src/table.rs`, so that no file is read at run time and no unit converted
//! while decoding: every scale is worked out here into SI, by `measure`.

use measure::quantity::Quantity;
use measure::unit;
use std::fmt::Write as _;
use toml::Table;

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=messages.toml");
    let text = std::fs::read_to_string("messages.toml").expect("the table of messages is part of the project");
    let table: Table = text.parse().expect("the table of messages is TOML");
    let mut code = String::new();
    lists(&mut code, &table);
    messages(&mut code, &table);
    sentences(&mut code, &table);
    transducers(&mut code, &table);
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR");
    std::fs::write(std::path::Path::new(&out).join("tables.rs"), code).expect("cargo's OUT_DIR can be written");
}

fn lists(code: &mut String, table: &Table) {
    for (name, list) in table["list"].as_table().expect("lists are tables") {
        let list = list.as_table().expect("a list is a table");
        let mut entries: Vec<(u32, &str)> =
            list.iter().filter_map(|(key, word)| Some((key.parse().ok()?, word.as_str()?))).collect();
        entries.sort_unstable();
        let flags = list.get("bits").is_some();
        line(code, &format!("static LIST_{name}: List = List {{ flags: {flags}, entries: &{entries:?} }};"));
    }
}

fn messages(code: &mut String, table: &Table) {
    let mut rows: Vec<&Table> = rows(table, "message").collect();
    rows.sort_by_key(|row| integer(row, "pgn"));
    line(code, "/// Every message, by its number.\npub static MESSAGES: &[Message] = &[");
    for row in &rows {
        message(code, row);
    }
    line(code, "];");
    let pgns: Vec<u32> = rows.iter().map(|row| integer(row, "pgn").expect("a message has a number") as u32).collect();
    let (mix, places) = perfect(&pgns);
    line(code, &format!("const MIX: u32 = {mix};\n/// Place in [`MESSAGES`] by [`place`], 255 for none."));
    line(code, &format!("static PLACES: [u8; 256] = {places:?};"));
}

/// A factor by which no two of the numbers fall into the same of 256 places, and who is in which.
fn perfect(pgns: &[u32]) -> (u32, Vec<u8>) {
    let mut mix = 0x9E37_79B1_u32;
    loop {
        let mut places = vec![255_u8; 256];
        let fits = pgns.iter().enumerate().all(|(index, pgn)| {
            let place = &mut places[(pgn.wrapping_mul(mix) >> 24) as usize];
            std::mem::replace(place, index as u8) == 255
        });
        if fits {
            return (mix, places);
        }
        mix = mix.wrapping_mul(0x0019_660D).wrapping_add(0x3C6E_F35E) | 1;
    }
}

fn message(code: &mut String, row: &Table) {
    let j1939 = text_of(row, "bus") == "j1939";
    let fields: Vec<&Table> = rows(row, "fields").collect();
    let repeat = row.get("repeat").and_then(toml::Value::as_table);
    let from = repeat.and_then(|repeat| integer(repeat, "bit")).unwrap_or(i64::MAX);
    let once = fields.iter().filter(|field| integer(field, "bit") < Some(from)).count();
    let role = |role| fields.iter().position(|field| text_of(field, "role") == role);
    line(
        code,
        &format!(
            "    Message {{ pgn: {}, name: {:?}, fast: {}, once: {once}, stride: {}, instance: {:?}, kind: {:?}, slots: &[",
            integer(row, "pgn").expect("a message has a number"),
            text_of(row, "name"),
            text_of(row, "type") == "fast",
            repeat.and_then(|repeat| integer(repeat, "bits")).unwrap_or(0) / 8,
            role("instance"),
            role("kind"),
        ),
    );
    for field in fields {
        slot(code, field, j1939);
    }
    line(code, "    ] },");
}

fn slot(code: &mut String, row: &Table, j1939: bool) {
    let (bit, bits) = (integer(row, "bit").unwrap_or(0), integer(row, "bits").expect("a field has a width"));
    let signed = flag(row, "signed");
    let kind = text_of(row, "kind");
    let (res, offset) = (number(row, "res").unwrap_or(1.0), number(row, "offset").unwrap_or(0.0));
    let scale = Scale::of(row);
    let full = (1_i64 << bits) - 1;
    let [reserved, error, absent] = codes(row, bits, full, j1939);
    let top = if signed { full >> 1 } else { full };
    let bottom = if signed { -top - 1 } else { 0 };
    let range = row.get("range").and_then(toml::Value::as_array);
    let end = |index: usize| range.and_then(|range| float(&range[index])).map(|end| (end - offset) / res);
    let all_ones = text_of(row, "all_ones") == "absent";
    // The ends are printed to fewer digits than a step is fine: a step more is still the value.
    let low = if all_ones { 0 } else { end(0).map_or(bottom, |low| (low + 1e-6).floor() as i64) };
    // An address of J1939 reaches into the codes that are reserved for what is measured.
    let codes = if j1939 && range.is_some() { error } else { reserved };
    let high = end(1).map_or(top, |high| (high - 1e-6).ceil() as i64).min(codes - 1);
    line(
        code,
        &format!(
            "        Slot {{ field: {}, choice: {}, bit: {bit}, end: {}, mask: {full}, sign: {}, scale: {:?}, offset: {:?}, low: {low}, high: {high}, reserved: {reserved}, error: {error}, absent: {absent}, all_ones: {all_ones} }},",
            scale.field(row),
            !kind.is_empty(),
            bit + bits,
            if signed { 1_i64 << (bits - 1) } else { 0 },
            res * scale.factor,
            offset * scale.factor + scale.offset,
        ),
    );
}

/// From which raw codes on a field is reserved, in error, not available.
fn codes(row: &Table, bits: i64, full: i64, j1939: bool) -> [i64; 3] {
    if !j1939 {
        let absent = integer(row, "na").unwrap_or(i64::MAX);
        let error = integer(row, "err").unwrap_or(absent);
        return [integer(row, "rsv").unwrap_or(error), error, absent];
    }
    // The uppermost byte tells, whatever follows it.
    match bits {
        8.. => [0xFB, 0xFE, 0xFF].map(|byte: i64| byte << (bits - 8)),
        _ => [full; 3],
    }
}

fn sentences(code: &mut String, table: &Table) {
    line(code, "/// Every sentence of NMEA 0183.\npub static SENTENCES: &[Sentence] = &[");
    for row in rows(table, "sentence") {
        let fields: Vec<&Table> = rows(row, "fields").collect();
        let role = |role| fields.iter().position(|field| text_of(field, "role") == role);
        let (id, name) = (text_of(row, "id"), text_of(row, "name"));
        let (instance, kind) = (role("instance"), role("kind"));
        line(
            code,
            &format!("    Sentence {{ id: {id:?}, name: {name:?}, instance: {instance:?}, kind: {kind:?}, columns: &["),
        );
        for field in fields {
            column(code, field);
        }
        line(code, "    ] },");
    }
    line(code, "];");
}

fn column(code: &mut String, row: &Table) {
    let letter = |key| text_of(row, key).chars().next();
    let sign = || text_of(row, "sign").chars().nth(1).expect("a sign has two letters");
    let first = || text_of(row, "sign").chars().next().expect("a sign has two letters");
    let mut scale = Scale::of(row);
    let form = match text_of(row, "kind") {
        "time" => {
            scale = Scale::named("s", "");
            "Form::Time".into()
        }
        "date" => {
            scale = Scale::named("d", "");
            "Form::Date".into()
        }
        "letter" => "Form::Letter".into(),
        "valid" => format!("Form::Valid {{ each: {} }}", flag(row, "each")),
        "position" => {
            scale = Scale::named("deg", "");
            format!("Form::Position {{ plus: {:?}, minus: {:?} }}", first(), sign())
        }
        "" if row.contains_key("letters") => {
            let units = row["letters"].as_table().expect("`letters` is a table");
            let rows: Vec<String> = units
                .iter()
                .map(|(letter, unit)| {
                    scale = Scale::named(unit.as_str().expect("a unit is text"), "");
                    format!("({:?}, {:?}, {:?})", letter.chars().next().expect("a letter"), scale.factor, scale.offset)
                })
                .collect();
            format!("Form::Units(&[{}])", rows.join(", "))
        }
        "" if row.contains_key("sign") => format!("Form::Signed {{ plus: {:?}, minus: {:?} }}", first(), sign()),
        "" => letter("letter").map_or("Form::Number".into(), |letter| format!("Form::Lettered({letter:?})")),
        other => panic!("no kind `{other}` of a field"),
    };
    let (factor, offset) = (scale.factor, scale.offset);
    line(
        code,
        &format!(
            "        Column {{ field: {}, form: {form}, scale: {factor:?}, offset: {offset:?} }},",
            scale.field(row)
        ),
    );
}

fn transducers(code: &mut String, table: &Table) {
    line(code, "/// What a transducer's two letters mean.\npub(crate) static TRANSDUCERS: &[Transducer] = &[");
    let transducer = table["transducer"].as_table().expect("`transducer` is a table");
    for row in rows(transducer, "rows") {
        let scale = Scale::of(row);
        line(
            code,
            &format!(
                "    Transducer {{ sort: {:?}, letter: {:?}, quantity: {}, unit: {:?}, scale: {:?}, offset: {:?} }},",
                text_of(row, "type"),
                text_of(row, "letter"),
                scale.quantity(),
                scale.unit,
                scale.factor,
                scale.offset
            ),
        );
    }
    line(code, "];");
}

/// How a value in the unit of the table becomes SI.
struct Scale {
    quantity: Option<Quantity>,
    /// The unit inside; that of the table where no quantity is known for it.
    unit: String,
    factor: f64,
    offset: f64,
}

impl Scale {
    fn of(row: &Table) -> Scale {
        Scale::named(text_of(row, "unit"), text_of(row, "of"))
    }

    fn named(written: &str, of: &str) -> Scale {
        use Quantity::*;
        // A date is days, or seconds, since the beginning of 1970.
        let quantity = match (of, written) {
            ("", "K" | "degC") => Temperature,
            ("", "rpm") => RotationalSpeed,
            ("", "V") => Voltage,
            ("", "A") => Current,
            ("", "Ah") => Charge,
            ("", "W") => Power,
            ("", "L/h" | "L/s") => VolumeFlow,
            ("", "L" | "m³") => Volume,
            ("", "m" | "ft" | "fathom" | "nm") => Length,
            ("", "m/s" | "kn" | "km/h" | "mph") => Velocity,
            ("", "rad" | "deg") => Angle,
            ("", "s" | "min" | "h" | "d") => Duration,
            ("", "%" | "Cos Phi") => Ratio,
            ("level", _) => Level,
            ("gauge pressure", _) => GaugePressure,
            ("absolute pressure", _) => Pressure,
            ("pressure difference", _) => PressureDifference,
            // No quantity of ours: kept in the unit of the bus.
            ("", "" | "VAR" | "kWh" | "Hz" | "km/L" | "r" | "N" | "deg/min") => {
                return Scale { quantity: None, unit: written.into(), factor: 1.0, offset: 0.0 };
            }
            other => panic!("no quantity for {other:?}"),
        };
        let written = match (quantity, written) {
            (Charge, "Ah") => "A·h".into(),
            (Pressure, unit) => format!("{unit}_abs"),
            (_, "Cos Phi") => String::new(),
            (_, unit) => unit.into(),
        };
        let value = |number: &str| {
            let text = format!("{number} {written}");
            unit::parse(&text, quantity).unwrap_or_else(|wrong| panic!("{text}: {wrong}"))
        };
        let offset = value("0");
        let unit = quantity.si_unit().trim_end_matches("_abs").trim_start_matches('1');
        // One further from zero, so that nothing is lost to the shift of a temperature.
        let factor = if offset == 0.0 { value("1") } else { value("1") - offset };
        let factor = if (factor - factor.round()).abs() < 1e-9 && offset != 0.0 { factor.round() } else { factor };
        Scale { quantity: Some(quantity), unit: unit.into(), factor, offset }
    }

    fn quantity(&self) -> String {
        self.quantity.map_or("None".into(), |quantity| format!("Some(Quantity::{quantity:?})"))
    }

    fn field(&self, row: &Table) -> String {
        let list = text_of(row, "list");
        let list = if list.is_empty() { "None".into() } else { format!("Some(&LIST_{list})") };
        let (name, unit) = (text_of(row, "id"), &self.unit);
        format!("Field {{ name: {name:?}, quantity: {}, unit: {unit:?}, list: {list} }}", self.quantity())
    }
}

fn line(code: &mut String, line: &str) {
    writeln!(code, "{line}").expect("writing to a string");
}

fn rows<'a>(table: &'a Table, name: &str) -> impl Iterator<Item = &'a Table> {
    table.get(name).and_then(toml::Value::as_array).into_iter().flatten().filter_map(toml::Value::as_table)
}

fn text_of<'a>(row: &'a Table, name: &str) -> &'a str {
    row.get(name).and_then(toml::Value::as_str).unwrap_or("")
}

fn integer(row: &Table, name: &str) -> Option<i64> {
    row.get(name).and_then(toml::Value::as_integer)
}

fn float(value: &toml::Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|integer| integer as f64))
}

fn number(row: &Table, name: &str) -> Option<f64> {
    row.get(name).and_then(float)
}

fn flag(row: &Table, name: &str) -> bool {
    row.get(name).and_then(toml::Value::as_bool).unwrap_or(false)
}
