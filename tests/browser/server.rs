//! The command, serving the notebook on a free port; ended when dropped.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use super::driver::{free_port, wait_for_port};

/// A running `coldfringe serve`.
#[derive(Debug)]
pub(crate) struct Server {
    child: Child,
    port: u16,
}

impl Server {
    /// Starts the server over a folder of lessons; it builds what is missing first. What it says goes to a file in `logs`.
    pub(crate) fn start(lessons: &str, logs: &Path) -> Server {
        let port = free_port();
        let name = format!("server-of-{}.log", lessons.replace('/', "-"));
        let log = std::fs::File::create(logs.join(name)).expect("a file for the server's words");
        let mut child = Command::new(env!("CARGO_BIN_EXE_coldfringe"))
            .args(["serve", "--port", &port.to_string(), "--lessons", lessons])
            .stdin(Stdio::null())
            .stdout(log.try_clone().expect("the same file"))
            .stderr(log)
            .spawn()
            .expect("the command starts");
        wait_for_port(
            port,
            &mut child,
            "`coldfringe serve` (see its log)",
            Duration::from_secs(600),
        );
        Server { child, port }
    }

    /// The address of the contents page.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
