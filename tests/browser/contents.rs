//! The contents page.

use super::page::{Checked, LAPTOP, NARROWEST, PROJECTOR, Page, TELEPHONE};

/// The accessibility checker finds nothing, in three windows and both colour schemes.
pub(crate) async fn has_no_accessibility_violation(page: Page) -> Checked {
    for scheme in ["light", "dark"] {
        page.preferences(&[("prefers-color-scheme", scheme)])
            .await?;
        for (name, window) in [
            ("projector", PROJECTOR),
            ("laptop", LAPTOP),
            ("telephone", TELEPHONE),
        ] {
            page.window(window).await?;
            page.visit("").await?;
            page.assert_accessible(&format!("contents, {name}, {scheme}"))
                .await?;
            page.picture(&format!("contents-{name}-{scheme}")).await?;
        }
    }
    Ok(())
}

/// Nothing is asked of another host, and the console shows neither error nor warning.
pub(crate) async fn asks_no_other_host_and_logs_no_error(page: Page) -> Checked {
    page.visit("").await?;
    page.until("document.readyState === 'complete'").await?;
    let requests = page.requests().await?;
    assert!(
        requests.contains(page.home()),
        "the page itself is among {requests:?}"
    );
    let strangers: Vec<&String> = requests
        .iter()
        .filter(|address| !address.starts_with(page.home()) && !address.starts_with("data:"))
        .collect();
    assert!(
        strangers.is_empty(),
        "other hosts were asked: {strangers:?}"
    );
    let complaints = page.complaints().await?;
    assert!(complaints.is_empty(), "the console shows {complaints:?}");
    Ok(())
}

/// The policy allows scripts, styles and connections from the page's own host alone, and no code made from text.
pub(crate) async fn is_sent_with_a_strict_policy(page: Page) -> Checked {
    page.visit("").await?;
    let policy = page
        .client
        .execute_async(
            "const done = arguments[arguments.length - 1]; \
             fetch(location.href).then(answer => done(answer.headers.get('content-security-policy')));",
            vec![],
        )
        .await?;
    let policy = policy.as_str().ok_or("no content-security-policy header")?;
    assert!(
        policy.contains("default-src 'none'") || policy.contains("default-src 'self'"),
        "everything not named is refused: {policy}"
    );
    assert!(
        !policy.contains("'unsafe-eval'"),
        "no code from text: {policy}"
    );
    assert!(
        !policy.contains("script-src *") && !policy.contains("http"),
        "no other host: {policy}"
    );
    let scripts = policy
        .split(';')
        .find(|part| part.trim().starts_with("script-src"))
        .ok_or("no script-src")?;
    assert!(
        !scripts.contains("'unsafe-inline'"),
        "no script in the markup: {scripts}"
    );
    Ok(())
}

/// Without script the page still has its heading and its links to the lessons.
pub(crate) async fn reads_without_script(page: Page) -> Checked {
    page.script_allowed(false).await?;
    page.visit("").await?;
    let heading = page.text("h1").await?;
    assert!(!heading.trim().is_empty(), "a heading");
    assert!(
        page.count("main a[href]").await? >= 3,
        "links to three lessons at least"
    );
    Ok(())
}

/// At 320 pixels nothing has to be scrolled sideways.
pub(crate) async fn fits_a_narrow_screen(page: Page) -> Checked {
    page.window(NARROWEST).await?;
    page.visit("").await?;
    let width = page.value("document.documentElement.scrollWidth").await?;
    assert!(
        width.as_f64().is_some_and(|width| width <= 320.0),
        "the page is {width} pixels wide"
    );
    Ok(())
}
