//! Numbers that others computed, of the area "spares".

use spares::count::Count;
use toml::{Table, Value};

fn number(value: &Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64)).expect("a number")
}

/// A rate that is known: without a width.
fn known(mean: f64) -> Count {
    Count::of([mean; 3], 1.0)
}

/// Our answer to a check of this area.
fn ours(id: &str, of: &dyn Fn(&str) -> f64) -> f64 {
    let chance = |count: Count| 1.0 - count.more_than(of("stock") as usize);
    match id {
        _ if id.starts_with("spare.stock.") => {
            let count = known(of("expected_demand"));
            let enough = |stock: &usize| 1.0 - count.more_than(*stock) >= of("service_level");
            (0..100).find(enough).expect("some stock is enough") as f64
        }
        _ if id.starts_with("spare.belief.") => {
            let belief = ["rate_5", "rate_50", "rate_95"].map(of);
            Count::of(belief, of("exposure")).more_than(of("stock") as usize)
        }
        "spare.prob" | "spare.table.1" => chance(known(of("expected_demand"))),
        "spare.demand" => Count::of([1.0 / of("mtbf_h"); 3], of("fitted") * of("hours")).mean,
        "spare.short" => {
            let chances = known(of("expected_demand")).chances();
            let stock = of("stock") as usize;
            (stock + 1..chances.len()).map(|n| (n - stock) as f64 * chances[n]).sum()
        }
        _ => panic!("no law is tried against {id}"),
    }
}

#[test]
fn counts_are_those_of_scipy() {
    let text =
        std::fs::read_to_string("../../reference/check-values.toml").expect("the values are part of the project");
    let table: Table = text.parse().expect("the values are TOML");
    let rows = table["check"].as_array().expect("a list").iter();
    let mut tried = 0;
    for row in rows.filter(|row| row["area"].as_str() == Some("spares")) {
        let id = row["id"].as_str().expect("an id");
        let inputs = row["inputs"].as_table().expect("inputs");
        let expected = number(&row["expected"]);
        let tolerance = |key: &str| row.get(key).map_or(0.0, number);
        let ours = ours(id, &|key| number(&inputs[key]));
        let bound = tolerance("abs_tol").max(tolerance("rel_tol") * expected.abs());
        assert!((ours - expected).abs() <= bound, "{id}: {ours} instead of {expected}");
        tried += 1;
    }
    assert!(tried >= 20, "only {tried} tried");
}

#[test]
fn a_wider_belief_makes_many_failures_likelier_at_the_same_mean() {
    let (narrow, wide) = (Count { shape: f64::INFINITY, mean: 1.0 }, Count { shape: 0.5, mean: 1.0 });
    assert!(wide.more_than(4) > 5.0 * narrow.more_than(4));
    assert!(wide.chances()[0] > narrow.chances()[0], "and none at all as well");
    for count in [narrow, wide, Count { shape: 3.0, mean: 900.0 }] {
        let chances = count.chances();
        let sum: f64 = chances.iter().sum();
        let mean: f64 = chances.iter().enumerate().map(|(n, chance)| n as f64 * chance).sum();
        assert!((sum - 1.0).abs() < 1e-9 && (mean / count.mean - 1.0).abs() < 1e-6, "{sum} {mean} of {count:?}");
    }
}

#[test]
fn the_chance_that_a_stock_is_enough_is_log_concave() {
    // So that steps by what they buy are those of the hull; proved in docs/stores.md, and tried here.
    for shape in [0.2, 0.9, 1.0, 3.0, 40.0, f64::INFINITY] {
        for mean in [0.01, 0.3, 2.0, 9.0] {
            let chances = Count { shape, mean }.chances();
            let mut enough = Vec::new();
            let mut sum = 0.0;
            for chance in &chances {
                sum += chance;
                enough.push(f64::ln(sum));
            }
            let bent = enough.windows(3).find(|three| three[1] - three[0] < three[2] - three[1] - 1e-12);
            assert_eq!(bent, None, "shape {shape}, mean {mean}");
        }
    }
}
