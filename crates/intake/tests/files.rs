//! Files as loggers and people write them, and what must come of them.

use intake::clock::ClockAsked;
use intake::columns::Renamed;
use intake::fault::{Fault, Refusal};
use intake::intake::{Asked, HEAD, Intake, Reading, Sink};
use intake::moment::Order;
use jiff::tz::{Offset, TimeZone};
use plant::plant::Plant;

const VESSEL: &str = r#"
[vessel]
name = "Read in"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
heard = "127489 temperature instance 0"
[gauge.oil-pressure]
at = "engine.oil-in"
reads = "pressure"
heard = "127489 oil-pressure instance 0"
[gauge.suction]
at = "raw-pump.in"
reads = "vacuum"
[alarm.hot]
at = "engine.coolant-out"
reads = "temperature"
trips-above = "96 °C"
"#;

fn plant() -> Plant {
    plant::reader::read(VESSEL).0.expect("a plant")
}

#[derive(Default)]
struct Kept {
    readings: Vec<(u64, Reading)>,
    faults: Vec<(u64, Fault)>,
}

impl Sink for Kept {
    fn reading(&mut self, line: u64, reading: Reading) {
        self.readings.push((line, reading));
    }
    fn fault(&mut self, line: u64, fault: Fault) {
        self.faults.push((line, fault));
    }
}

fn asked(zone: Option<TimeZone>) -> Asked {
    Asked { renamed: Vec::new(), decimal: None, clock: ClockAsked { zone, order: None, day: None, zones: |_| None } }
}

/// Reads a file whole, and again byte by byte: what comes out is the same.
fn read_as(file: &[u8], plant: &Plant, asked: &Asked) -> Result<Kept, Refusal> {
    let mut whole = Kept::default();
    let mut intake = Intake::plan(file, true, plant, asked.clone())?;
    intake.bytes(file, &mut whole);
    intake.end(&mut whole);
    let mut cut = Kept::default();
    let mut intake = Intake::plan(&file[..file.len().min(HEAD)], file.len() <= HEAD, plant, asked.clone())?;
    for byte in file.chunks(3) {
        intake.bytes(byte, &mut cut);
    }
    intake.end(&mut cut);
    assert_eq!((&whole.readings, &whole.faults), (&cut.readings, &cut.faults));
    Ok(whole)
}

fn read(file: &str) -> Kept {
    read_as(file.as_bytes(), &plant(), &asked(Some(TimeZone::UTC))).expect("it is read")
}

/// As `2026-07-02T08:00:00Z coolant 351.45`.
fn told(kept: &Kept) -> Vec<String> {
    let plant = plant();
    let tell = |(_, reading): &(u64, Reading)| {
        let time = jiff::Timestamp::from_millisecond(reading.time).expect("in range");
        format!("{time} {} {:.2}", plant[reading.gauge].name, reading.value)
    };
    kept.readings.iter().map(tell).collect()
}

const TWO: [&str; 2] = ["2026-07-02T06:00:00Z coolant 351.45", "2026-07-02T06:00:00Z oil-pressure 241000.00"];

#[test]
fn one_reading_is_the_same_in_every_common_shape() {
    for file in [
        // A column a gauge.
        "time,coolant [°C],oil pressure (bar)\n2026-07-02T06:00:00Z,78.3,2.41\n",
        "time;coolant;oil-pressure\n2026-07-02 06:00:00;78,3;2,41\n",
        "Datum;Uhrzeit;coolant / °C;oil-pressure / kPa\r\n02.07.2026;06:00:00;78,3;241,0\r\n",
        "time\tcoolant\toil_pressure\n;\n\t°C\tbar\n2026-07-02T06:00:00\t78.3\t2.41\n",
        "# logger 3\n\nDevice: 3\ntime | coolant | oil pressure\n | [°F] | [psi]\n1782972000 | 172.94 | 34.954095\n",
        "epoch ms,time,coolant_degC,oil-pressure_mbar\n0,1782972000000,78.3,2410\n",
        "\u{feff}date,clock,coolant,oil-pressure,rudder\n7/2/2026,6:00 AM,78.3 °C,2.41 bar,3\n7/13/2026,,,,\n",
        "2026-07-02T08:00:00+02:00,78.3,2.41\n",
        // One value a line.
        "time,gauge,value,unit\n2026-07-02T06:00:00Z,coolant,78.3,°C\n2026-07-02T06:00:00Z,Oil Pressure,241,kPa\n",
        "time;sensor;value\n2026-07-02T06:00:00Z;coolant;78,3\n2026-07-02T06:00:00Z;oil-pressure;2,41\n",
        // Lines of JSON.
        "{\"time\":\"2026-07-02T06:00:00Z\",\"coolant\":78.3,\"oil-pressure\":\"241 kPa\"}\n",
        "{\"ts\":null,\"time\":1782972000,\"readings\":{\"coolant\":\"78.3 C\",\"oil-pressure\":2.41}}\n",
        "{\"time\":\"2026-07-02 06:00\",\"gauge\":\"coolant\",\"value\":78.3}\n\
         {\"time\":\"2026-07-02 06:00\",\"gauge\":\"oil-pressure\",\"value\":34.954095,\"unit\":\"psi\"}\n",
        // Rounds.
        "zone = \"+02:00\"\n[[round]]\nby = \"the mate\"\ntime = 2026-07-02T08:00:00\n\
         readings = { coolant = \"78.3 °C\", oil-pressure = 2.41 }\n",
    ] {
        let plant = plant();
        let mut asked = asked(Some(TimeZone::UTC));
        if file.starts_with("2026") {
            let columns = ["1=time", "2=coolant", "3=oil-pressure"];
            asked.renamed =
                columns.iter().map(|column| Renamed::parse(column, &plant).expect("well written")).collect();
        }
        let kept = read_as(file.as_bytes(), &plant, &asked).unwrap_or_else(|why| panic!("{file}: {why}"));
        assert_eq!(told(&kept), TWO, "{file} {:?}", kept.faults);
    }
}

#[test]
fn bad_lines_are_told_and_the_good_ones_kept() {
    let file = "time,coolant,oil-pressure\n\
        2026-07-02T06:00:00Z,78.3,2.41\n\
        yesterday,78.3,2.41\n\
        2026-07-02T06:00:01Z,78.3\n\
        2026-07-02T06:00:02Z,hot,2.41\n\
        2026-07-02T06:00:03Z,\"78.3,2.41\n\
        2026-07-02T06:00:04Z,-,n/a\n\
        time,coolant,oil-pressure\n\
        2026-07-02T06:00:05Z,783000,2.41\n\
        1970-01-01T00:00:07Z,78.3,2.41\n\
        2026-07-02T06:00:06Z,78.3,1,5\n";
    let kept = read(file);
    let lines: Vec<u64> = kept.readings.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [2, 2, 5, 9]);
    let sorts: Vec<(u64, &str)> = kept.faults.iter().map(|(line, fault)| (*line, fault.name())).collect();
    assert_eq!(
        sorts,
        [
            (3, "a time that is none"),
            (4, "more or fewer cells than headings"),
            (5, "a value that is no number"),
            (6, "quotation mark not closed"),
            (9, "far off the scale"),
            (10, "before the year 2000: the clock was not set"),
            (11, "more or fewer cells than headings"),
        ]
    );
    assert!(kept.faults.iter().all(|(_, fault)| !fault.to_string().is_empty()));
}

#[test]
fn what_could_be_two_things_is_asked() {
    let plant = plant();
    let refused = |file: &str, asked: &Asked| read_as(file.as_bytes(), &plant, asked).err();
    let both = "time,coolant\n03/04/2026 08:00,78\n03/05/2026 08:00,78\n";
    let Some(Refusal::Ambiguous { day_first, month_first, .. }) = refused(both, &asked(Some(TimeZone::UTC))) else {
        panic!("it could be either");
    };
    assert_eq!((day_first.as_str(), month_first.as_str()), ("3 April 2026", "4 March 2026"));
    let mut told_order = asked(Some(TimeZone::UTC));
    told_order.clock.order = Some(Order::MonthFirst);
    assert_eq!(told(&read_as(both.as_bytes(), &plant, &told_order).unwrap())[0], "2026-03-04T08:00:00Z coolant 351.15");
    // A later line tells.
    let kept = read("time,coolant\n03/04/2026 08:00,78\n25/04/2026 08:00,78\n");
    assert_eq!(told(&kept)[0], "2026-04-03T08:00:00Z coolant 351.15");
    assert!(matches!(refused("time,coolant\n2026-07-02 08:00,78\n", &asked(None)), Some(Refusal::NoZone { .. })));
    assert!(matches!(refused("time,coolant\n08:00,78\n", &asked(None)), Some(Refusal::NoDay { .. })));
    assert!(matches!(refused("a,coolant\nx,78\n", &asked(None)), Some(Refusal::NoTime { .. })));
    let mut other = asked(None);
    other.renamed = vec![Renamed::parse("water=coolant", &plant).unwrap()];
    assert!(matches!(refused("utc,b\n2026-07-02 08:00,78\n", &other), Some(Refusal::NoColumn { .. })));
    for (file, refusal) in [
        (&b""[..], Refusal::Empty),
        (b" \n\n", Refusal::Empty),
        (b"\xff\xfet\0i\0", Refusal::Wide),
        (b"\x7fELF\0\0\x01", Refusal::NotText),
        (b"time,coolant\n", Refusal::NoRows),
        (b"no table\nat all\n", Refusal::NoForm),
    ] {
        assert_eq!(read_as(file, &plant, &asked(None)).err(), Some(refusal), "{file:?}");
    }
    let endless = vec![b'x'; HEAD];
    assert_eq!(Intake::plan(&endless, false, &plant, asked(None)).err(), Some(Refusal::Endless));
}

#[test]
fn columns_may_be_told() {
    let plant = plant();
    let mut asked = asked(None);
    let columns = ["ECT=coolant:°F", "OP [x]=oil-pressure:psi", "4=ignore"];
    asked.renamed = columns.iter().map(|column| Renamed::parse(column, &plant).expect("well written")).collect();
    let file = "UTC,ECT,OP [x],suction\n2026-07-02 06:00:00,172.94,34.954095,20\n";
    assert_eq!(told(&read_as(file.as_bytes(), &plant, &asked).unwrap()), TWO);
    for (wrong, said) in [
        ("ECT", "no `=`"),
        ("ECT=colant", "did you mean `coolant`"),
        ("ECT=coolant:bar", "unit of gauge pressure"),
        ("ECT=hot", "an alarm"),
    ] {
        let error = Renamed::parse(wrong, &plant).expect_err(wrong).to_string();
        assert!(error.contains(said), "{wrong}: {error}");
    }
}

#[test]
fn suction_is_suction_however_its_sign_is_written() {
    let kept = read("time,suction [kPa]\n2026-07-02T06:00:00Z,20\n2026-07-02T06:00:01Z,-20\n");
    assert!(kept.readings.iter().all(|(_, reading)| (reading.value + 20e3).abs() < 1e-6), "{:?}", kept.readings);
}

#[test]
fn ship_s_time_and_its_changes_are_told() {
    let file = "time,zone,coolant\n2026-07-02 08:00,+02:00,78\n2026-07-03 08:00,+01:00,78\n2026-07-03 09:00,ship,78\n";
    let plant = plant();
    let mut kept = Kept::default();
    let mut intake = Intake::plan(file.as_bytes(), true, &plant, asked(None)).unwrap();
    intake.bytes(file.as_bytes(), &mut kept);
    intake.end(&mut kept);
    assert_eq!(intake.offsets().iter().map(|(_, ahead)| *ahead).collect::<Vec<_>>(), [7200, 3600]);
    assert_eq!(told(&kept)[1], "2026-07-03T07:00:00Z coolant 351.15");
    assert!(matches!(kept.faults[..], [(4, Fault::BadZone { .. })]));
}

#[test]
fn recordings_are_read_through_what_gauges_are_heard_as() {
    // 127489 in two frames of a fast packet: 241 kPa of oil, 351.45 K of coolant.
    let file = "(1782972000.250000) can0 09F20110#001A006A09FFFF49\n(1782972000.260000) can0 09F20110#0189FFFFFFFFFFFF\n\
                (1782972000.270000) can0 09F20110#02FFFFFFFFFFFFFF\n(1782972000.280000) can0 09F20110#03FFFFFFFFFFFFFF\n";
    let kept = read_as(file.as_bytes(), &plant(), &asked(None)).unwrap();
    assert_eq!(
        told(&kept),
        ["2026-07-02T06:00:00.28Z oil-pressure 241000.00", "2026-07-02T06:00:00.28Z coolant 351.45"],
        "{:?}",
        kept.faults
    );
    let day = "2026-07-02".parse::<jiff::civil::Date>().unwrap().at(0, 0, 0, 0);
    let mut asked = asked(Some(TimeZone::fixed(Offset::from_hours(2).unwrap())));
    asked.clock.day = Some(Offset::UTC.to_timestamp(day).unwrap().as_millisecond());
    let clock = "08:00:00.250 R 09F20110 00 1A 00 6A 09 FF FF 49\n08:00:00.260 R 09F20110 01 89 FF FF FF FF FF FF\n\
                 08:00:00.270 R 09F20110 02 FF FF FF FF FF FF FF\n08:00:00.280 R 09F20110 03 FF FF FF FF FF FF FF\n";
    let kept = read_as(clock.as_bytes(), &plant(), &asked).unwrap();
    assert_eq!(told(&kept).first().map(String::as_str), Some("2026-07-02T06:00:00.28Z oil-pressure 241000.00"));
}

#[test]
fn what_a_sender_gives_is_read_by_its_curve() {
    // IEC 60751, table of Pt100: 138.5055 ohm at 100 °C.
    let sends =
        VESSEL.replacen("heard = \"127489 temperature instance 0\"", "sends = { platinum = \"100 ohm\" }", 1).replacen(
            "heard = \"127489 oil-pressure instance 0\"",
            "scale = [\"0 bar\", \"10 bar\"]\nsends = { ends = [\"4 mA\", \"20 mA\"] }",
            1,
        );
    let plant = plant::reader::read(&sends).0.expect("a plant");
    let file = "time,coolant [ohm],oil-pressure (mA)\n2026-07-02T06:00:00Z,138.5055,12\n2026-07-02T06:01:00Z,1e6,2\n\
                2026-07-02T06:02:00Z,100 °C,5 bar\n";
    let kept = read_as(file.as_bytes(), &plant, &asked(Some(TimeZone::UTC))).expect("it is read");
    let near = |reading: &Reading, value: f64| (reading.value / value - 1.0).abs() < 1e-4;
    let values: Vec<&Reading> = kept.readings.iter().map(|(_, reading)| reading).collect();
    assert_eq!(values.len(), 4, "{:?}", kept.faults);
    for pair in values.chunks(2) {
        assert!(near(pair[0], 373.15) && near(pair[1], 5e5), "{pair:?}");
    }
    let wires: Vec<_> = kept.faults.iter().map(|(line, fault)| (*line, fault.name())).collect();
    assert_eq!(wires.len(), 2);
    assert!(wires.iter().all(|(line, name)| *line == 3 && name.contains("open or shorted")), "{wires:?}");
}
