//! What the later steps need from elsewhere, brought while the first ones compile: browsers, scripts, the runner of wasm
//! tests. Most of that is waiting for the network.

use std::thread::JoinHandle;

use super::Step;
use super::browser::{self, Browser};
use super::{npm, wasm};
use crate::debian_package;

/// Things on their way.
#[derive(Debug)]
pub(super) struct Ahead {
    fetching: Option<JoinHandle<()>>,
}

impl Ahead {
    /// Begins to bring what these steps need.
    ///
    /// A failure is not told here: the step that needs the thing tries again, and says what is wrong.
    pub(super) fn fetch(steps: &[Step]) -> Ahead {
        let needs = |those: &[Step]| steps.iter().any(|step| those.contains(step));
        let steers = needs(&[Step::WasmTests, Step::Browser, Step::PageTimes]);
        let checks_pages = needs(&[Step::Browser, Step::PageTimes]);
        let tests_wasm = needs(&[Step::WasmTests]);
        // A person who is asked for a password must see who asks, and for what.
        let may_install = debian_package::asks_nobody();
        let fetching = std::thread::spawn(move || {
            if steers && may_install {
                let _ = Browser::installed();
            }
            if checks_pages && may_install {
                let _ = (browser::firefox(), npm::AXE.path(), npm::RUN_TIME.path());
            }
            if tests_wasm {
                let _ = wasm::runner();
            }
        });
        Ahead {
            fetching: Some(fetching),
        }
    }

    /// Waits until all of it is there or has failed.
    pub(super) fn wait(&mut self) {
        if let Some(fetching) = self.fetching.take() {
            let _ = fetching.join();
        }
    }
}
