//! The program that steers the browser, ended with its browsers when dropped.

use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A port that was free a moment ago.
pub(crate) fn free_port() -> u16 {
    let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    listener.local_addr().expect("its number").port()
}

/// Waits until something listens on a port, as long as the process lives.
pub(crate) fn wait_for_port(port: u16, child: &mut Child, what: &str, at_most: Duration) {
    let start = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_err() {
        if let Ok(Some(status)) = child.try_wait() {
            panic!("{what} ended before it listened: {status}");
        }
        assert!(
            start.elapsed() < at_most,
            "{what} did not listen on port {port} within {at_most:?}"
        );
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// A running driver.
#[derive(Debug)]
pub(crate) struct Driver {
    child: Child,
    port: u16,
}

impl Driver {
    /// Starts the driver on a free port; what it says goes to a file in `logs`.
    pub(crate) fn start(logs: &Path) -> Driver {
        let program = std::env::var_os("CHROMEDRIVER").unwrap_or_else(|| "chromedriver".into());
        let port = free_port();
        let log =
            std::fs::File::create(logs.join("driver.log")).expect("a file for the driver's words");
        let mut child = Command::new(&program)
            .arg(format!("--port={port}"))
            .stdin(Stdio::null())
            .stdout(log.try_clone().expect("the same file"))
            .stderr(log)
            .spawn()
            .unwrap_or_else(|error| {
                panic!("{}: {error}; `cargo verify` installs it", program.display())
            });
        wait_for_port(port, &mut child, "the driver", Duration::from_secs(20));
        Driver { child, port }
    }

    /// Where the driver listens.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // A browser dies with the driver that started it.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
