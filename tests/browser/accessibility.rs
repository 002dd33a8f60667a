//! The accessibility checker, run on a page in the state it is in.

use serde_json::{Value, json};

use super::page::{Checked, Page};

/// The rules: levels A and AA of the guidelines up to 2.2, and good practice. Target size is only checked when asked for by its tag.
const TAGS: [&str; 6] = [
    "wcag2a",
    "wcag2aa",
    "wcag21a",
    "wcag21aa",
    "wcag22aa",
    "best-practice",
];

impl Page {
    /// Fails with every violation that the checker finds; `state` says where in the lesson the reader is.
    pub(crate) async fn assert_accessible(&self, state: &str) -> Checked {
        let violations = self.violations().await?;
        if violations.is_empty() {
            Ok(())
        } else {
            Err(format!("{state}: {}", violations.join("\n    ")).into())
        }
    }

    async fn violations(&self) -> Result<Vec<String>, Box<dyn std::error::Error + Send + Sync>> {
        let file = std::env::var_os("COLDFRINGE_AXE")
            .ok_or("COLDFRINGE_AXE does not name the checker's script; `cargo verify` sets it")?;
        let source = std::fs::read_to_string(&file)
            .map_err(|error| format!("{}: {error}", file.display()))?;
        if self.value("typeof window.axe").await? != "object" {
            self.client.execute(&source, vec![]).await?;
        }
        let run = "const done = arguments[arguments.length - 1]; \
             axe.run(document, { runOnly: arguments[0], resultTypes: ['violations'] }) \
             .then(found => done({ rules: found.passes.length, violations: found.violations }), problem => done({ problem: String(problem) }));";
        let found = self.client.execute_async(run, vec![json!(TAGS)]).await?;
        if !found["violations"].is_array() || found["rules"] == json!(0) {
            return Err(format!("the checker did not run: {found}").into());
        }
        Ok(found["violations"]
            .as_array()
            .into_iter()
            .flatten()
            .map(describe)
            .collect())
    }
}

fn describe(violation: &Value) -> String {
    let places: Vec<String> = violation["nodes"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|node| {
            format!(
                "{} {}",
                node["target"],
                node["failureSummary"]
                    .as_str()
                    .unwrap_or_default()
                    .replace('\n', " ")
            )
        })
        .collect();
    format!(
        "{} ({}): {}",
        violation["id"],
        violation["help"],
        places.join("; ")
    )
}
