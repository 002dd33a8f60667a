//! Firefox, steered over its own port for automation: a line of JSON with its length before it, on a plain connection.
//! No driver is needed in between. `COLDFRINGE_FIREFOX` names the program.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::homework::Key;
use super::homework_from_disk;
use super::one_file;
use super::page::{Checked, Page};
use super::reader::Or;
use super::slow::{BENCH, LESSON, NUMBER, swing};

/// How long to wait for something to appear.
const PATIENCE: Duration = Duration::from_secs(20);

/// The name that the protocol gives an element's reference.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// The key that the protocol writes for the end of a line.
const END: &str = "\u{E010}";

/// Where a browser of this profile puts what it saves.
fn saves(profile: &Path) -> PathBuf {
    profile.join("saved")
}

/// A running Firefox with a fresh profile, ended when dropped.
struct Firefox {
    child: Child,
    profile: PathBuf,
    connection: TcpStream,
    calls: u32,
}

impl Firefox {
    fn start(profile: &Path) -> Or<Self> {
        let program =
            std::env::var_os("COLDFRINGE_FIREFOX").unwrap_or_else(|| "firefox-esr".into());
        let _ = std::fs::remove_dir_all(profile);
        std::fs::create_dir_all(profile)?;
        // A free port, which the browser writes into its profile.
        std::fs::write(
            profile.join("user.js"),
            format!(
                "user_pref(\"marionette.port\", 0);\n\
                 user_pref(\"datareporting.policy.dataSubmissionEnabled\", false);\n\
                 user_pref(\"browser.download.folderList\", 2);\n\
                 user_pref(\"browser.download.dir\", {});\n",
                json!(saves(profile))
            ),
        )?;
        let mut child = Command::new(&program)
            .args(["--marionette", "--headless", "--no-remote", "--profile"])
            .arg(profile)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| {
                format!("{}: {error}; `cargo verify` installs it", program.display())
            })?;
        let connection = match Self::connect(profile) {
            Ok(connection) => connection,
            Err(error) => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(error);
            }
        };
        let mut firefox = Self {
            child,
            profile: profile.to_owned(),
            connection,
            calls: 0,
        };
        firefox.read()?;
        firefox.call("WebDriver:NewSession", json!({ "capabilities": {} }))?;
        Ok(firefox)
    }

    fn connect(profile: &Path) -> Or<TcpStream> {
        let start = Instant::now();
        loop {
            let port = std::fs::read_to_string(profile.join("MarionetteActivePort"));
            if let Some(port) = port.ok().and_then(|text| text.trim().parse::<u16>().ok())
                && let Ok(connection) = TcpStream::connect(("127.0.0.1", port))
            {
                connection.set_read_timeout(Some(Duration::from_secs(60)))?;
                return Ok(connection);
            }
            if start.elapsed() > Duration::from_secs(60) {
                return Err("Firefox did not open its port".into());
            }
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    fn read(&mut self) -> Or<Value> {
        let mut length = 0_usize;
        let mut byte = [0];
        loop {
            self.connection.read_exact(&mut byte)?;
            match byte[0] {
                b':' => break,
                digit @ b'0'..=b'9' => length = 10 * length + usize::from(digit - b'0'),
                other => return Err(format!("no length: byte {other}").into()),
            }
        }
        let mut text = vec![0; length];
        self.connection.read_exact(&mut text)?;
        Ok(serde_json::from_slice(&text)?)
    }

    fn call(&mut self, name: &str, parameters: Value) -> Or<Value> {
        self.calls += 1;
        let text = json!([0, self.calls, name, parameters]).to_string();
        write!(self.connection, "{}:{text}", text.len())?;
        let answer = self.read()?;
        if answer[2].is_null() {
            Ok(answer[3].clone())
        } else {
            Err(format!("{name}: {}", answer[2]).into())
        }
    }

    fn value(&mut self, expression: &str) -> Or<Value> {
        let answer = self.call(
            "WebDriver:ExecuteScript",
            json!({ "script": format!("return ({expression});"), "args": [] }),
        )?;
        Ok(answer["value"].clone())
    }

    fn until(&mut self, expression: &str) -> Checked {
        let start = Instant::now();
        while self.value(expression)? != json!(true) {
            if start.elapsed() > PATIENCE {
                return Err(format!("after {PATIENCE:?} still not so: {expression}").into());
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        Ok(())
    }

    fn live(&mut self) -> Checked {
        self.until("document.documentElement.dataset.state === 'ready'")
    }

    /// The reference of the element that a CSS selector names.
    fn element(&mut self, selector: &str) -> Or<Value> {
        let found = self.call(
            "WebDriver:FindElement",
            json!({ "using": "css selector", "value": selector }),
        )?;
        Ok(found["value"][ELEMENT].clone())
    }

    /// Clicks in the middle of the window, clear of the foot of an assignment's page.
    fn click(&mut self, selector: &str) -> Checked {
        self.call(
            "WebDriver:ExecuteScript",
            json!({
                "script": "document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' });",
                "args": [selector]
            }),
        )?;
        let id = self.element(selector)?;
        self.call("WebDriver:ElementClick", json!({ "id": id }))?;
        Ok(())
    }

    fn write(&mut self, selector: &str, text: &str) -> Checked {
        let id = self.element(selector)?;
        self.call(
            "WebDriver:ElementSendKeys",
            json!({ "id": id, "text": text }),
        )?;
        Ok(())
    }

    fn text(&mut self, selector: &str) -> Or<String> {
        let id = self.element(selector)?;
        let text = self.call("WebDriver:GetElementText", json!({ "id": id }))?;
        Ok(text["value"].as_str().unwrap_or_default().to_owned())
    }

    /// Commits what stands in a prediction, and gives what is said.
    fn commit(&mut self, block: &str) -> Or<String> {
        self.click(&format!(
            "#{block} [data-role=sure] label:has(input[value=guess])"
        ))?;
        self.click(&format!("#{block} [data-role=commit]"))?;
        self.until(&format!(
            "!document.querySelector('#{block} [data-role=confirm]').hidden"
        ))?;
        self.click(&format!("#{block} [data-role=confirm-yes]"))?;
        self.verdict(block)
    }

    fn verdict(&mut self, block: &str) -> Or<String> {
        let place = format!("#{block} [data-role=verdict]");
        self.until(&format!(
            "!document.querySelector({0}).hidden && document.querySelector({0}).textContent !== ''",
            json!(place)
        ))?;
        self.text(&place)
    }
}

impl Drop for Firefox {
    fn drop(&mut self) {
        // It ends its own helpers when asked; else it is ended.
        let _ = self.call("Marionette:Quit", json!({ "flags": ["eForceQuit"] }));
        std::thread::sleep(Duration::from_millis(200));
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}

/// The same in Firefox as in Chromium: a lesson from disk comes alive, takes a prediction, has it answered by a worker,
/// keeps it, and asks for nothing.
pub(crate) async fn works_from_disk(_page: Page) -> Checked {
    tokio::task::spawn_blocking(from_disk).await?
}

/// A page from disk, live in a browser of its own, that from here on notes what its policy refuses.
fn open(name: &str, address: &str) -> Or<Firefox> {
    let profile = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("browser/{name}-{}", std::process::id()));
    let mut firefox = Firefox::start(&profile)?;
    firefox.call("WebDriver:Navigate", json!({ "url": address }))?;
    firefox.live()?;
    firefox.value(
        "window.refused = [], document.addEventListener('securitypolicyviolation', event => refused.push(event.effectiveDirective)), true",
    )?;
    assert_eq!(
        firefox.value("document.getElementById('trouble').hidden")?,
        json!(true),
        "nothing to complain of"
    );
    Ok(firefox)
}

/// A worker computes, and nothing was asked for or refused.
fn by_itself(firefox: &mut Firefox) -> Checked {
    assert_eq!(
        firefox.value("document.documentElement.dataset.computes ?? 'behind'")?,
        json!("behind"),
        "a worker computes"
    );
    assert_eq!(
        firefox.value(
            "[performance.getEntriesByType('resource').map(entry => entry.name), window.refused]"
        )?,
        json!([[], []]),
        "what was asked for, and what was refused"
    );
    Ok(())
}

fn from_disk() -> Checked {
    let mut firefox = open("firefox", &one_file::address(&format!("{LESSON}.html")))?;
    firefox.write(&format!("#{NUMBER} [data-role=number]"), "12 uV")?;
    let said = firefox.commit(NUMBER)?;
    assert!(said.contains(&one_file::computed()), "{said}");
    by_itself(&mut firefox)?;
    firefox.call("WebDriver:Refresh", json!({}))?;
    firefox.live()?;
    assert_eq!(firefox.verdict(NUMBER)?, said, "kept over a reload");
    // Every part open, for the bench.
    firefox.call(
        "WebDriver:ExecuteScript",
        json!({ "script": "const record = JSON.parse(localStorage.getItem('coldfringe.record')); \
            const blocks = record.lessons['slow-loop'].attempts[0].blocks; \
            for (const block of document.querySelectorAll('[data-island=predict]')) \
              blocks[block.dataset.blockId] = { committed: { answer: { choice: 'none' }, sure: 'guess', at: 1 }, changed: 1 }; \
            localStorage.setItem('coldfringe.record', JSON.stringify(record));", "args": [] }),
    )?;
    firefox.call("WebDriver:Refresh", json!({}))?;
    firefox.live()?;
    firefox.until(&format!(
        "document.querySelector('#{BENCH} [data-role=readings] dd')?.textContent === {}",
        json!(swing("11 uA"))
    ))
}

/// An assignment from disk: the identifier, answers of three kinds, a reload, and the receipt.
pub(crate) async fn an_assignment_works_from_disk(_page: Page) -> Checked {
    tokio::task::spawn_blocking(homework).await?
}

fn homework() -> Checked {
    let mut firefox = open("firefox-homework", &homework_from_disk::address())?;
    firefox.write("[data-role=who-name]", homework_from_disk::STUDENT)?;
    firefox.click("[data-role=who-form] [type=submit]")?;
    firefox.until("document.querySelector('main').hasAttribute('data-filled')")?;
    let key = Key::new(homework_from_disk::SLUG, homework_from_disk::STUDENT);
    let rounding = "sensor-design-thermal-rounding";
    firefox.write(
        &format!("#{rounding} [data-role=number]"),
        &key.number("thermal-rounding", 1.0),
    )?;
    firefox.click(&format!("#{rounding} [data-role=check]"))?;
    let said = firefox.verdict(rounding)?;
    assert!(said.contains("agrees"), "{said}");
    firefox.click("#sensor-design-slipped [data-role=options] label:has(input[value=slips])")?;
    firefox.commit("sensor-design-slipped")?;
    // To the end of the axis, where nobody would put it: whether it is right takes the worker.
    firefox.write("#sensor-design-working-flux [data-role=mark]", END)?;
    firefox.commit("sensor-design-working-flux")?;
    let there = "document.querySelector('[data-role=sum]').textContent.includes('3 of 6 done · 2 of 9 points')";
    firefox.until(there)?;
    by_itself(&mut firefox)?;
    firefox.call("WebDriver:Refresh", json!({}))?;
    firefox.live()?;
    firefox.until(there)?;
    firefox.click("[data-role=save-receipt]")?;
    let receipt = saves(&firefox.profile).join(homework_from_disk::RECEIPT);
    let start = Instant::now();
    let text = loop {
        match std::fs::read_to_string(&receipt) {
            Ok(text) if text.ends_with("}\n") => break text,
            _ if start.elapsed() > PATIENCE => return Err("no receipt was saved".into()),
            _ => std::thread::sleep(Duration::from_millis(50)),
        }
    };
    let (entries, points) = homework_from_disk::marked(&text);
    assert_eq!(entries.len(), 3, "{entries:?}");
    assert!((points - 2.0).abs() < 1e-12, "{points}");
    Ok(())
}
