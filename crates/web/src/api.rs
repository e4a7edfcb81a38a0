//! What other programs aboard are told and may tell: gauges, last readings, and readings taken in. `openapi.json` says the
//! same for programs that read descriptions, and a test holds the two together.

mod given;

use crate::gate::Pass;
use crate::routes::Bridge;
use crate::ship::Scene;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get, post};
use axum::{Json, Router};
use bus::stamp::Stamp;
use plant::plant::GaugeId;
use serde::Serialize;
use tokio::task::spawn_blocking;
use watch::dial::{self, on_dial, sensible};
use watch::recent::STALE;

/// The description.
const OPENAPI: &str = include_str!("../assets/openapi.json");
/// Nobody sends more at a time [bytes].
const LONGEST: usize = 256 * 1024;

/// Address and what answers it.
type Route = (&'static str, fn() -> MethodRouter<Bridge>);

/// All of them.
const ROUTES: [Route; 4] = [
    ("/api/1/gauges", || get(gauges)),
    ("/api/1/readings/latest", || get(latest)),
    ("/api/1/readings", || post(readings).layer(DefaultBodyLimit::max(LONGEST))),
    ("/api/1/openapi.json", || get(description)),
];

/// The routes, to be taken in among the others.
pub fn routes() -> Router<Bridge> {
    ROUTES.into_iter().fold(Router::new(), |all, (path, answers)| all.route(path, answers()))
}

async fn description() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "application/json")], OPENAPI)
}

/// A gauge or alarm.
#[derive(Serialize)]
struct Gauge<'a> {
    gauge: &'a str,
    /// What it reads.
    quantity: &'static str,
    /// Unit of its dial; empty for alarms and plain numbers.
    unit: String,
    /// Ends of its scale, in that unit; nothing for alarms.
    scale: Option<[f64; 2]>,
    alarm: bool,
    /// Which value of a bus it is, if it is on one.
    heard: Option<String>,
}

async fn gauges(State(bridge): State<Bridge>) -> Response {
    let plant = &bridge.scene().picture.plant;
    let all = plant.gauge_ids().map(|id| {
        let gauge = &plant[id];
        let alarm = gauge.trips.is_some();
        let (low, high) = gauge.scale;
        Gauge {
            gauge: &gauge.name,
            quantity: gauge.quantity.name(),
            unit: if alarm { String::new() } else { dial::unit(gauge).to_string() },
            scale: (!alarm).then(|| [low, high].map(|end| sensible(on_dial(gauge, end)))),
            alarm,
            heard: gauge.heard.as_ref().map(ToString::to_string),
        }
    });
    Json(serde_json::json!({ "gauges": all.collect::<Vec<_>>() })).into_response()
}

/// The last reading of a gauge.
#[derive(Serialize)]
struct Latest<'a> {
    gauge: &'a str,
    value: f64,
    unit: String,
    /// By the machine's clock; nothing where readings are simulated.
    time: Option<String>,
    /// How long ago it was read [s].
    age: f64,
    /// Read too long ago to be gone by.
    stale: bool,
}

async fn latest(State(bridge): State<Bridge>) -> Response {
    let scene = bridge.scene();
    let each = (0..scene.picture.gauges.len()).filter_map(|id| last(&scene, GaugeId(id)));
    Json(serde_json::json!({ "readings": each.collect::<Vec<_>>(), "simulated": scene.simulated.is_some() }))
        .into_response()
}

fn last(scene: &Scene, id: GaugeId) -> Option<Latest<'_>> {
    let picture = &scene.picture;
    let gauge = &picture.plant[id];
    let shown = picture.gauges[id.0].reading?;
    let age = (picture.at - shown.at).max(0.0);
    let time = scene.aboard.as_ref().map(|aboard| {
        let nanos = aboard.time.saturating_mul(1_000_000) + ((shown.at - aboard.at) * 1e3).round() as i64 * 1_000_000;
        Stamp::Universal(nanos).to_string()
    });
    let alarm = gauge.trips.is_some();
    Some(Latest {
        gauge: &gauge.name,
        value: if alarm { shown.value } else { sensible(on_dial(gauge, shown.value)) },
        unit: if alarm { String::new() } else { dial::unit(gauge).to_string() },
        time,
        age,
        stale: age > STALE,
    })
}

/// What came of readings that were sent.
#[derive(Serialize)]
struct Answer {
    stored: usize,
    repeated: usize,
    too_old: usize,
    refused: Vec<given::Refused>,
}

async fn readings(
    State(bridge): State<Bridge>,
    body: Result<Bytes, axum::extract::rejection::BytesRejection>,
) -> Response {
    let Ok(body) = body else {
        let advice = format!("Send at most {} readings, {} kB, at a time.", given::MOST, LONGEST / 1024);
        return fault(StatusCode::PAYLOAD_TOO_LARGE, "this is more than is taken at a time", &advice);
    };
    let scene = bridge.scene();
    let Some(board) = bridge.ship.board.clone() else {
        let advice = "Send them to a vessel that is served: bedplate serve DIR.";
        return fault(StatusCode::SERVICE_UNAVAILABLE, "readings are simulated here, and none are taken in", advice);
    };
    let (good, refused) = match given::read(&body, &scene.picture.plant, board.time()) {
        Ok(read) => read,
        Err(why) => return fault(StatusCode::BAD_REQUEST, &why, given::LIKE),
    };
    let status = if good.is_empty() && !refused.is_empty() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let taken =
        if good.is_empty() { Ok(Ok(crate::Taken::default())) } else { spawn_blocking(move || board.give(good)).await };
    match taken {
        Ok(Ok(crate::Taken { stored, repeated, too_old })) => {
            (status, Json(Answer { stored, repeated, too_old, refused })).into_response()
        }
        Ok(Err(crate::Unkept(why))) => {
            fault(StatusCode::SERVICE_UNAVAILABLE, &why, "They are watched all the same; send them again later.")
        }
        Err(_) => fault(StatusCode::SERVICE_UNAVAILABLE, "the program is ending", "Send them again later."),
    }
}

/// Why a request is not answered, and what to do.
fn fault(status: StatusCode, fault: &str, advice: &str) -> Response {
    (status, Json(serde_json::json!({ "fault": fault, "advice": advice }))).into_response()
}

/// Said to a program without the token.
pub fn refused(pass: Pass) -> Response {
    if pass == Pass::Wait {
        let advice = "Wait a minute, and look at the token.";
        let answer = fault(StatusCode::TOO_MANY_REQUESTS, "too many wrong tokens came from this address", advice);
        return with(answer, header::RETRY_AFTER, "60");
    }
    let advice = "Send the header `Authorization: Bearer` with the token that stands in the file `token` of the vessel's \
                  folder.";
    let answer = fault(StatusCode::UNAUTHORIZED, "the token is missing or is not the one", advice);
    with(answer, header::WWW_AUTHENTICATE, "Bearer")
}

fn with(mut answer: Response, name: header::HeaderName, value: &'static str) -> Response {
    answer.headers_mut().insert(name, header::HeaderValue::from_static(value));
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_description_tells_every_route_and_no_other() {
        let told: serde_json::Value = serde_json::from_str(OPENAPI).expect("it is JSON");
        assert_eq!(told["openapi"].as_str().map(|version| &version[..3]), Some("3.1"));
        let mut paths: Vec<&str> = told["paths"].as_object().expect("paths").keys().map(String::as_str).collect();
        let mut routes: Vec<&str> = ROUTES.iter().map(|(path, _)| *path).collect();
        paths.sort_unstable();
        routes.sort_unstable();
        assert_eq!(paths, routes);
        let limit = &told["components"]["schemas"]["Readings"]["properties"]["readings"]["maxItems"];
        assert_eq!(limit.as_u64(), Some(given::MOST as u64));
    }
}
