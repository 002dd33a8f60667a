//! A reader in a lesson: finds the blocks, answers them, and reads what is said.

use serde_json::{Value, json};

use super::gestures::{Pointer, key};
use super::page::{Checked, Page};

/// What a check's helper may fail with.
pub(crate) type Or<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// How the reader works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Means {
    /// A mouse that drags.
    Drag,
    /// A finger that only taps.
    Taps,
    /// The keyboard alone.
    Keys,
}

impl Page {
    /// Opens a lesson and waits until it is live.
    pub(crate) async fn lesson(&self, slug: &str) -> Checked {
        self.open_live(&format!("lessons/{slug}/index.html")).await
    }

    /// Reloads the page and waits until it is live.
    pub(crate) async fn again(&self) -> Checked {
        self.client.refresh().await?;
        self.live().await
    }

    /// Asks for less motion, so that curves stand at once.
    pub(crate) async fn still(&self) -> Checked {
        self.preferences(&[("prefers-reduced-motion", "reduce")])
            .await
    }

    /// What the record says of a block in the last attempt at a lesson; null when nothing.
    pub(crate) async fn kept(&self, lesson: &str, block: &str) -> Or<Value> {
        let stored = self.stored().await?;
        let Some(text) = stored.get("coldfringe.record") else {
            return Ok(Value::Null);
        };
        let record: Value = serde_json::from_str(text)?;
        let attempts = record["lessons"][lesson]["attempts"].as_array().cloned();
        Ok(attempts
            .and_then(|attempts| attempts.last().map(|last| last["blocks"][block].clone()))
            .unwrap_or_default())
    }

    /// Opens a lesson whose predictions are all committed, so that every part of it is open.
    pub(crate) async fn lesson_opened(&self, slug: &str) -> Checked {
        self.lesson(slug).await?;
        let script = "const blocks = {}; \
            for (const block of document.querySelectorAll('[data-island=predict]')) \
              blocks[block.dataset.blockId] = { committed: { answer: { choice: 'none' }, sure: 'guess', at: 1 } }; \
            localStorage.setItem('coldfringe.record', JSON.stringify({ version: 1, lessons: { [arguments[0]]: { attempts: [{ id: 'opened', started: 1, blocks }] } } }));";
        self.client.execute(script, vec![json!(slug)]).await?;
        self.again().await
    }

    /// Presses a button or follows a link.
    pub(crate) async fn press_button(&self, means: Means, selector: &str) -> Checked {
        match means {
            Means::Drag => self.tap(selector, Pointer::Mouse, (0.5, 0.5)).await,
            Means::Taps => self.tap(selector, Pointer::Finger, (0.5, 0.5)).await,
            Means::Keys => {
                self.tab_to(selector).await?;
                self.press(&[key::ENTER]).await
            }
        }
    }

    /// Chooses the option of that value in a set of a block (`options`, `reasons` or `sure`).
    pub(crate) async fn choose(
        &self,
        means: Means,
        block: &str,
        set: &str,
        value: &str,
    ) -> Checked {
        let option = format!("#{block} [data-role={set}] input[value=\"{value}\"]");
        if means == Means::Keys {
            self.tab_to(&format!("#{block} [data-role={set}] input"))
                .await?;
            self.press(&[' ']).await?;
            for _ in 0..10 {
                if self.has_focus(&option).await? {
                    break;
                }
                self.press(&[key::DOWN]).await?;
            }
        } else {
            let pointer = if means == Means::Drag {
                Pointer::Mouse
            } else {
                Pointer::Finger
            };
            // The label is what a person aims at.
            let label = format!("#{block} [data-role={set}] label:has(input[value=\"{value}\"])");
            self.tap(&label, pointer, (0.3, 0.5)).await?;
        }
        self.until(&format!(
            "document.querySelector({}).checked",
            json!(option)
        ))
        .await
    }

    /// Chooses the curve of that picture in a pick (`model` for the computed one), whatever its letter.
    pub(crate) async fn pick(
        &self,
        means: Means,
        lesson: &str,
        name: &str,
        picture: &str,
    ) -> Checked {
        for letter in ["A", "B", "C", "D", "E"] {
            self.choose(means, &format!("{lesson}-{name}"), "options", letter)
                .await?;
            let kept = self.kept(lesson, name).await?;
            if kept["draft"] == json!({ "choice": picture }) {
                return Ok(());
            }
        }
        Err(format!("{lesson}, {name}: no curve is that of {picture}").into())
    }

    /// Goes on with the tabulator until an element has the focus. Every stop on the way must show that it
    /// has the focus, and none may hold it.
    pub(crate) async fn tab_to(&self, selector: &str) -> Checked {
        let mut before = String::new();
        for _ in 0..120 {
            if self.has_focus(selector).await? {
                return Ok(());
            }
            self.press(&[key::TAB]).await?;
            let stop = self
                .client
                .execute(
                    "const e = document.activeElement; \
                     if (!e || e === document.body) return ['the window', 'yes']; \
                     const style = getComputedStyle(e); \
                     const shown = e.matches(':focus-visible') && style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0; \
                     const all = [...document.querySelectorAll('*')]; \
                     return [e.tagName + ' number ' + all.indexOf(e) + ' ' + e.id + ' ' + e.textContent.slice(0, 40), shown ? 'yes' : 'no'];",
                    vec![],
                )
                .await?;
            let [name, shown]: [String; 2] = serde_json::from_value(stop)?;
            if shown != "yes" {
                return Err(format!("the focus does not show on {name}").into());
            }
            if name == before && name != "the window" {
                return Err(format!("the keyboard is trapped at {name}").into());
            }
            before = name;
        }
        Err(format!("the tabulator does not come to {selector}").into())
    }

    /// Whether an element that the selector names has the focus.
    pub(crate) async fn has_focus(&self, selector: &str) -> Or<bool> {
        Ok(self
            .value(&format!(
                "!!document.activeElement && document.activeElement.matches({})",
                json!(selector)
            ))
            .await?
            == json!(true))
    }

    /// Commits a prediction whose answer stands, and gives what is said about it.
    pub(crate) async fn commit(&self, means: Means, block: &str) -> Or<String> {
        self.press_button(means, &format!("#{block} [data-role=commit]"))
            .await?;
        self.until(&format!(
            "!document.querySelector('#{block} [data-role=confirm]').hidden"
        ))
        .await?;
        if !self
            .has_focus(&format!("#{block} [data-role=confirm-yes]"))
            .await?
        {
            return Err(format!("{block}: the question whether to commit has no focus").into());
        }
        self.press_button(means, &format!("#{block} [data-role=confirm-yes]"))
            .await?;
        self.verdict(block).await
    }

    /// Waits for what is said about a block.
    pub(crate) async fn verdict(&self, block: &str) -> Or<String> {
        let place = format!("#{block} [data-role=verdict]");
        self.until(&format!(
            "!document.querySelector({0}).hidden && document.querySelector({0}).textContent !== ''",
            json!(place)
        ))
        .await?;
        self.text(&place).await
    }

    /// Answers how sure, and commits.
    pub(crate) async fn commit_as(&self, means: Means, block: &str, sure: &str) -> Or<String> {
        self.choose(means, block, "sure", sure).await?;
        self.commit(means, block).await
    }

    /// Answers an observation rightly.
    pub(crate) async fn observe(&self, means: Means, block: &str, option: &str) -> Checked {
        self.choose(means, block, "options", option).await?;
        self.press_button(means, &format!("#{block} [data-role=check]"))
            .await?;
        let said = self.verdict(block).await?;
        if said.contains("Yes, that is on the chart.") || said.contains("Yes, you remember it.") {
            Ok(())
        } else {
            Err(format!("{block}, {option}: {said}").into())
        }
    }

    /// Waits until a bench says that a challenge is met.
    pub(crate) async fn challenge_is_met(&self, bench: &str, challenge: usize) -> Checked {
        self.until(&format!(
            "document.querySelector('#{bench} [data-challenge=\"{challenge}\"] [data-role=met]').textContent.includes('done')"
        ))
        .await
    }

    /// Puts another text into a box in place of the one that stands there.
    pub(crate) async fn retype(&self, field: &str, text: &str) -> Checked {
        // What is computed in the background may come between the look and the hand, and move the box.
        let there = format!(
            "document.activeElement === document.querySelector({})",
            json!(field)
        );
        for _ in 0..3 {
            self.tap(field, Pointer::Mouse, (0.5, 0.5)).await?;
            if self.value(&there).await? == json!(true) {
                break;
            }
        }
        self.press_with(&[key::CONTROL], 'a').await?;
        self.press(&[key::DELETE]).await?;
        self.write(text).await
    }

    /// Types a value into the box beside a slider of a bench, and leaves the box.
    pub(crate) async fn type_at_bench(&self, bench: &str, slider: usize, text: &str) -> Checked {
        let field = format!("#{bench} [data-slider-number=\"{slider}\"]");
        self.retype(&field, text).await?;
        self.press(&[key::TAB]).await
    }

    /// Moves sliders of a bench by keys, each to its value, and finds each challenge met: slider, value, tolerance, challenge.
    pub(crate) async fn meet_challenges(
        &self,
        bench: &str,
        moves: &[(usize, f64, f64, usize)],
    ) -> Checked {
        for &(slider, value, tolerance, challenge) in moves {
            let slider = format!("#{bench} [data-slider=\"{slider}\"]");
            self.slide(Means::Keys, &slider, value, tolerance).await?;
            self.challenge_is_met(bench, challenge).await?;
        }
        Ok(())
    }

    /// Answers numeric questions of a lesson, all of them right.
    pub(crate) async fn answer_rightly(
        &self,
        means: Means,
        lesson: &str,
        answers: &[(&str, &str)],
    ) -> Checked {
        for (question, answer) in answers {
            let said = self
                .answer(means, &format!("{lesson}-{question}"), answer)
                .await?;
            assert!(
                said.contains("agrees with the computed value"),
                "{question}: {said}"
            );
        }
        Ok(())
    }

    /// Fails if the console showed an error or another host was asked since the last call.
    pub(crate) async fn is_quiet(&self) -> Checked {
        let complaints = self.complaints().await?;
        let strangers: Vec<String> = self
            .requests()
            .await?
            .into_iter()
            .filter(|address| {
                !address.starts_with(self.home())
                    && !["data:", "blob:", "about:blank"]
                        .iter()
                        .any(|own| address.starts_with(own))
            })
            .collect();
        if complaints.is_empty() && strangers.is_empty() {
            Ok(())
        } else {
            Err(
                format!("the console shows {complaints:?}; other hosts were asked: {strangers:?}")
                    .into(),
            )
        }
    }

    /// Looks on the contents page whether a lesson's predictions are all committed.
    pub(crate) async fn is_done(&self, lesson: &str) -> Checked {
        self.open_live("").await?;
        let progress = self
            .text(&format!("[data-lesson-link={lesson}] .progress"))
            .await?;
        if progress
            .to_lowercase()
            .contains("all predictions committed")
        {
            Ok(())
        } else {
            Err(format!("{lesson}: {progress}").into())
        }
    }

    /// Types into a number box and checks it; gives what is said.
    pub(crate) async fn answer(&self, means: Means, block: &str, text: &str) -> Or<String> {
        let field = format!("#{block} [data-role=number]");
        if means == Means::Keys {
            self.tab_to(&field).await?;
        } else {
            self.press_button(means, &field).await?;
        }
        self.write(text).await?;
        self.press_button(means, &format!("#{block} [data-role=check]"))
            .await?;
        self.verdict(block).await
    }
}
