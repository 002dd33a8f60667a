//! Times of the page, printed and not judged: they depend on the machine and on what else it does.
//!
//! `cargo verify --only page-times` runs these; the other checks leave them out.

use serde_json::{Value, json};

use super::gestures::Pointer;
use super::page::{Checked, LAPTOP, LESSONS, Page};

/// Loads of each page.
const LOADS: usize = 5;

/// From the start of the navigation until the page is live, with nothing cached and the processor four times slower.
pub(crate) async fn time_until_live(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.slower(4.0).await?;
    for path in [
        "",
        "lessons/one-slit/index.html",
        "lessons/two-slits/index.html",
        "lessons/the-loop-answers-back/index.html",
    ] {
        let mut times = Vec::new();
        for _ in 0..LOADS {
            page.visit_empty().await?;
            page.browser("Network.clearBrowserCache", json!({})).await?;
            page.open_live(path).await?;
            let time = page
                .value("performance.getEntriesByName('coldfringe-ready')[0].startTime")
                .await?;
            times.push(
                time.as_f64()
                    .ok_or("the page does not mark when it is live")?,
            );
        }
        let name = if path.is_empty() { "contents" } else { path };
        report(
            &format!("{name}, live after a cold load, processor 4 times slower"),
            &mut times,
        );
    }
    Ok(())
}

/// From a slider's movement until curve, picture and readings are redrawn, while a mouse drags it to and fro.
pub(crate) async fn time_of_a_slider_movement(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    for lesson in LESSONS {
        for slower in [1.0, 4.0] {
            page.slower(1.0).await?;
            // The bench stands behind predictions.
            page.lesson_opened(lesson).await?;
            if page.count("input[data-slider]").await? == 0 {
                continue;
            }
            page.slower(slower).await?;
            page.value(
                "window.beats = [], window.beat = time => { beats.push(time); requestAnimationFrame(beat); }, requestAnimationFrame(beat)",
            )
            .await?;
            let there = (0..=60).map(|step| 0.1 + 0.8 * f64::from(step) / 60.0);
            let points: Vec<(f64, f64)> =
                there.clone().chain(there.rev()).map(|x| (x, 0.5)).collect();
            page.draw("input[data-slider]", Pointer::Mouse, &points)
                .await?;
            let spent = page
                .value(
                    "performance.getEntriesByName('coldfringe-frame').map(entry => entry.duration)",
                )
                .await?;
            let frames = page
                .value("beats.slice(1).map((time, index) => time - beats[index])")
                .await?;
            let how = format!("{lesson}, processor {slower} times slower");
            report(
                &format!("{how}: computing and drawing one movement"),
                &mut numbers(&spent),
            );
            report(
                &format!("{how}: from frame to frame while dragging"),
                &mut numbers(&frames),
            );
        }
    }
    Ok(())
}

/// At a bench whose device is slow: from a slider's movement until the page is free again, until the first curve for it, and
/// until the whole one stands.
pub(crate) async fn time_of_a_slow_slider_movement(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson_opened("slow-loop").await?;
    let bench = "#slow-loop-bias";
    page.until(&format!(
        "document.querySelectorAll('{bench} [data-role=readings] div:not([hidden]) dd').length > 0"
    ))
    .await?;
    let points: Vec<(f64, f64)> = (0..=60)
        .map(|step| (0.1 + 0.8 * f64::from(step) / 60.0, 0.5))
        .collect();
    page.draw(
        &format!("{bench} input[data-slider]"),
        Pointer::Mouse,
        &points,
    )
    .await?;
    page.until(&format!(
        "document.querySelector('{bench} [data-role=computing]').hidden"
    ))
    .await?;
    for (name, what) in [
        ("coldfringe-frame", "until the page is free again"),
        ("coldfringe-first-curve", "until the first curve"),
        ("coldfringe-whole-curve", "until the whole curve"),
    ] {
        let spent = page
            .value(&format!(
                "performance.getEntriesByName('{name}').map(entry => entry.duration)"
            ))
            .await?;
        report(
            &format!("a slow device while dragging, {what}"),
            &mut numbers(&spent),
        );
    }
    Ok(())
}

/// The worker's pieces of work in this browser, warmed up first; short ones so many at a time that its clock tells them.
pub(crate) async fn time_of_slow_kernels(page: Page) -> Checked {
    page.lesson("slow-loop").await?;
    let times = page
        .client
        .execute_async(
            "const done = arguments[arguments.length - 1]; \
             const bundle = new URL(document.querySelector('meta[name=coldfringe-worker]').content, location.href).searchParams.get('bundle'); \
             (async () => { const file = ending => new URL('../../assets/' + bundle + ending, location.href); \
               const physics = await import(file('.js')); await physics.default({ module_or_path: file('.wasm') }); \
               const times = {}; for (const kernel of physics.coldfringe_kernels()) { times[kernel] = []; \
                 const many = Math.max(1, Math.ceil(10 / physics.coldfringe_measure(kernel, 3))); const start = performance.now(); \
                 while (performance.now() < start + 1600) { const time = physics.coldfringe_measure(kernel, many) / many; \
                   if (performance.now() > start + 800) times[kernel].push(time); } } \
               done(times); })().catch(error => done(String(error)));",
            vec![],
        )
        .await?;
    let kernels = times.as_object().ok_or_else(|| times.to_string())?;
    for (kernel, times) in kernels {
        report(&format!("worker's wasm, {kernel}"), &mut numbers(times));
    }
    Ok(())
}

fn numbers(list: &Value) -> Vec<f64> {
    list.as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_f64)
        .collect()
}

/// Prints the least, the middle, the 95th of a hundred and the greatest, in milliseconds.
fn report(what: &str, times: &mut [f64]) {
    times.sort_by(f64::total_cmp);
    let Some(greatest) = times.last() else {
        println!("    {what}: no time was taken");
        return;
    };
    let at = |share: f64| times[((times.len() - 1) as f64 * share).round() as usize];
    println!(
        "    {what}: fastest {:.3} ms, median {:.2} ms, 95 of 100 within {:.1} ms, greatest {greatest:.1} ms ({} times)",
        at(0.0),
        at(0.5),
        at(0.95),
        times.len()
    );
}
