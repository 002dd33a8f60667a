//! The course system that the checks play: its page, its server, and what it hears from a package. What its run-time
//! lets pass is checked here: how long values are, how times are written, what is called when.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use axum::Router;
use axum::extract::State;
use axum::http::{StatusCode, Uri, header};
use axum::response::IntoResponse;
use serde_json::{Value, json};

use crate::browser::command;
use crate::browser::page::{Checked, Page};
use crate::browser::reader::Or;
use crate::browser::slow::LESSON;

/// The page that plays the course system. Every call is written down with its answer, then passed to the run-time.
const SYSTEM: &str = "<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><title>A course</title>\
<style>body { margin: 0 } iframe { border: 0; display: block; width: 100vw; height: 100vh }</style>\
<script src=\"run-time.js\"></script><iframe title=\"The lesson\"></iframe>\
<script>\
window.launch = (version, kept, isDeaf, folder) => {\
  const is2004 = version === '2004';\
  const real = new (is2004 ? Scorm2004API : Scorm12API)({ autocommit: false, logLevel: 5 });\
  if (kept) {\
    real.cmi.suspend_data = kept.state;\
    (is2004 ? real.cmi : real.cmi.core).score.raw = kept.raw;\
    if (is2004) real.cmi.completion_status = kept.status; else real.cmi.core.lesson_status = kept.status;\
  }\
  const names = is2004 ? ['Initialize', 'GetValue', 'SetValue', 'Commit', 'Terminate', 'GetLastError']\
    : ['LMSInitialize', 'LMSGetValue', 'LMSSetValue', 'LMSCommit', 'LMSFinish', 'LMSGetLastError'];\
  window.calls = [];\
  window.model = () => { const core = is2004 ? real.cmi : real.cmi.core; \
    return { state: real.cmi.suspend_data, raw: core.score.raw, status: is2004 ? core.completion_status : core.lesson_status }; };\
  const heard = {};\
  for (const name of names) heard[name] = (...given) => {\
    const answer = isDeaf && name.endsWith('Initialize') ? 'false' : String(real[name](...given));\
    calls.push([name.replace('LMS', '').replace('Finish', 'Terminate'), given, answer]);\
    return answer;\
  };\
  window[is2004 ? 'API_1484_11' : 'API'] = heard;\
  document.querySelector('iframe').src = (folder || 'package-' + version) + '/index.html';\
};\
</script></html>";

/// The folder that the system serves, made once: both packages unpacked.
pub(crate) fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser/course-system");
        let _ = std::fs::remove_dir_all(&folder);
        let own = "tests/browser/lessons";
        for (version, lessons, slug, name) in [
            ("1.2", own, LESSON, "package-1.2"),
            ("2004", own, LESSON, "package-2004"),
            ("1.2", "lessons", "homework-slits", "package-homework"),
        ] {
            let out = folder.join(format!("all-of-{name}"));
            command::run([
                "pack".as_ref(),
                "--scorm".as_ref(),
                version.as_ref(),
                "--lessons".as_ref(),
                lessons.as_ref(),
                "--out".as_ref(),
                out.as_os_str(),
            ])
            .expect("the packages are written");
            let file = std::fs::File::open(out.join(format!("{slug}.zip"))).expect("the package");
            zip::ZipArchive::new(file)
                .expect("a zip file")
                .extract(folder.join(name))
                .expect("it unpacks");
        }
        std::fs::write(folder.join("index.html"), SYSTEM).expect("the system's page");
        let run_time = std::env::var_os("COLDFRINGE_RUN_TIME")
            .expect("COLDFRINGE_RUN_TIME names the run-time's script; `cargo verify` fetches it");
        std::fs::copy(run_time, folder.join("run-time.js")).expect("the run-time's script");
        folder
    })
}

async fn serve(State(folder): State<PathBuf>, uri: Uri) -> impl IntoResponse {
    let name = match uri.path().trim_start_matches('/') {
        "" => "index.html",
        other => other,
    };
    let kind = if name.ends_with(".js") {
        "text/javascript"
    } else {
        "text/html"
    };
    match std::fs::read(folder.join(name)) {
        Ok(bytes) => Ok(([(header::CONTENT_TYPE, kind)], bytes)),
        Err(_) => Err(StatusCode::NOT_FOUND),
    }
}

/// Starts the system's server and gives its address. It ends with the check.
pub(super) async fn address() -> Or<String> {
    let folder = tokio::task::spawn_blocking(folder).await?;
    let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await?;
    let address = format!("http://{}/", listener.local_addr()?);
    let router = Router::new().fallback(serve).with_state(folder.to_owned());
    tokio::spawn(async move { axum::serve(listener, router).await });
    Ok(address)
}

/// Opens the lesson from the system, as a learner of whom this is kept.
pub(super) async fn launch(page: &Page, version: &str, kept: &Value) -> Checked {
    page.client.enter_parent_frame().await?;
    page.client
        .execute("launch(...arguments);", vec![json!(version), kept.clone()])
        .await?;
    enter(page).await
}

/// Goes into the frame of the package's page.
pub(super) async fn enter(page: &Page) -> Checked {
    page.client.enter_parent_frame().await?;
    page.client.enter_frame(0).await?;
    page.until("location.href.includes('package-')").await?;
    page.live().await
}

/// Every call so far: name, what was given, what was answered.
pub(super) async fn calls(page: &Page) -> Or<Vec<(String, Vec<String>, String)>> {
    Ok(serde_json::from_value(page.value("top.calls").await?)?)
}

/// The value last told under a name.
pub(super) async fn told(page: &Page, name: &str) -> Or<String> {
    let calls = calls(page).await?;
    let found = calls
        .iter()
        .rev()
        .find(|(call, given, _)| call == "SetValue" && given[0] == name);
    Ok(found
        .map(|(_, given, _)| given[1].clone())
        .ok_or(format!("{name} was not told"))?)
}

/// Leaves the lesson, as one who closes it in the system, and checks all that was called meanwhile.
pub(super) async fn leave(page: &Page, version: &str) -> Or<Value> {
    page.client.enter_parent_frame().await?;
    page.value("document.querySelector('iframe').src = 'about:blank'")
        .await?;
    page.until("calls.length > 0 && calls.at(-1)[0] === 'Terminate'")
        .await?;
    page.value("new Promise(done => setTimeout(done, 300))")
        .await?;
    let calls = calls(page).await?;
    let is_2004 = version == "2004";
    let count = |name: &str| calls.iter().filter(|(call, _, _)| call == name).count();
    assert_eq!(
        calls[0],
        ("Initialize".into(), vec![String::new()], "true".into())
    );
    assert_eq!(count("Initialize"), 1);
    assert_eq!(count("Terminate"), 1);
    let last = calls.len() - 1;
    assert_eq!(
        calls[last],
        ("Terminate".into(), vec![String::new()], "true".into()),
        "nothing after it"
    );
    assert_eq!(
        calls[last - 1],
        ("Commit".into(), vec![String::new()], "true".into())
    );
    let room = if is_2004 { 64_000 } else { 4096 };
    for (call, given, answer) in &calls {
        if call != "SetValue" {
            continue;
        }
        assert_eq!(answer, "true", "{given:?}");
        let (name, value) = (given[0].as_str(), given[1].as_str());
        let number = || value.parse::<f64>().expect("a number");
        match name.rsplit('.').next().expect("a name") {
            "suspend_data" => {
                assert!(value.len() <= room, "{}", value.len());
                assert!(value.bytes().all(|byte| (b' '..=b'~').contains(&byte)));
            }
            "raw" | "min" | "max" => assert!((0.0..=100.0).contains(&number()), "{value}"),
            "scaled" => assert!((-1.0..=1.0).contains(&number()), "{value}"),
            "progress_measure" => assert!((0.0..=1.0).contains(&number()), "{value}"),
            "lesson_status" | "completion_status" => {
                assert!(["completed", "incomplete"].contains(&value), "{value}");
            }
            "exit" => assert_eq!(value, "suspend"),
            "session_time" => assert!(is_time(value, is_2004), "{value}"),
            other => panic!("{other} is told: {value}"),
        }
    }
    Ok(page.value("model()").await?)
}

/// Whether a time is written as its version wants it: `HHHH:MM:SS`, or as ISO 8601 has it.
fn is_time(text: &str, is_2004: bool) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if is_2004 {
        let Some((hours, rest)) = text
            .strip_prefix("PT")
            .and_then(|text| text.split_once('H'))
        else {
            return false;
        };
        let Some((minutes, seconds)) = rest.split_once('M') else {
            return false;
        };
        digits(hours) && digits(minutes) && seconds.strip_suffix('S').is_some_and(digits)
    } else {
        let parts: Vec<&str> = text.split(':').collect();
        parts.len() == 3
            && parts.iter().all(|part| digits(part))
            && (2..=4).contains(&parts[0].len())
            && parts[1..].iter().all(|part| part.len() == 2)
    }
}
