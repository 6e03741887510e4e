//! A browser of its own for each test, at a given size, with all that it wrote
//! to its console.

use std::process::Stdio;
use std::time::Duration;

use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::process::{Child, Command};
use tokio::time::{Instant, sleep};
use url::Url;

/// How long anything may take before the test fails.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// An open page in a browser.
pub struct Session {
    pub client: Client,
    // All end with the session.
    _browser: Browser,
    _driver: Child,
    _profile: TempDir,
}

/// A browser that ends with its session: where a test fails, the driver is
/// stopped before it could end the browser, which would run on for ever.
struct Browser {
    process: Option<u64>,
}

impl Browser {
    fn of(client: &Client) -> Self {
        let process = client.capabilities().and_then(|all| all.get("goog:processID")?.as_u64());
        Self { process }
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let Some(process) = self.process else { return };
        // It has ended already where the test came to its close.
        let kill = std::process::Command::new("kill")
            .args(["-KILL", &process.to_string()])
            .stderr(Stdio::null())
            .status();
        if let Err(error) = kill {
            eprintln!("the browser {process} may still run: {error}");
        }
    }
}

impl Session {
    /// Opens the page on a screen `width` by `height`, with `density` device
    /// pixels for each of its own.
    pub async fn open(width: u32, height: u32, density: f64) -> Self {
        Self::open_at(&environment("FLEDGE_PAGE"), width, height, density).await
    }

    /// Opens the page as another server has it.
    pub async fn open_at(address: &str, width: u32, height: u32, density: f64) -> Self {
        let profile = TempDir::new().expect("a folder for the browser's profile");
        let port = free_port();
        let driver = Command::new(environment("CHROMEDRIVER"))
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .kill_on_drop(true)
            .spawn()
            .expect("chromedriver starts");
        let capabilities = capabilities(width, height, density, &profile);
        let client = connect(port, capabilities).await;
        let browser = Browser::of(&client);
        client.goto(address).await.expect("the page opens");
        let session = Self { client, _browser: browser, _driver: driver, _profile: profile };
        session.wait_for("main").await;
        session
    }

    /// Waits until an element is there.
    pub async fn wait_for(&self, selector: &str) {
        self.client
            .wait()
            .at_most(PATIENCE)
            .for_element(Locator::Css(selector))
            .await
            .unwrap_or_else(|error| panic!("{selector} does not appear: {error}"));
    }

    /// Sends a command to the browser's own tools.
    pub async fn cdp(&self, command: &'static str, parameters: Value) -> Value {
        let command = Tools { command, parameters };
        self.client.issue_cmd(command).await.expect("the browser obeys")
    }

    /// Presses keys on what has the focus.
    pub async fn keys(&self, keys: &str) {
        let element = self.client.active_element().await.expect("something has the focus");
        element.send_keys(keys).await.expect("it takes keys");
    }

    /// What a script returns.
    pub async fn ask(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.expect("the script runs")
    }

    /// What a script returns, as text.
    pub async fn ask_text(&self, script: &str) -> String {
        self.ask(script).await.as_str().unwrap_or_default().to_owned()
    }

    /// The text of the first element that fits.
    pub async fn text(&self, selector: &str) -> String {
        let script = format!("return document.querySelector({}).innerText", json!(selector));
        self.ask_text(&script).await
    }

    /// The names of the examples that the page offers.
    pub async fn examples(&self) -> Vec<String> {
        let script = "return [...document.querySelectorAll('#example option')]
            .map(o => o.value).filter(v => v)";
        let names = self.ask(script).await;
        names
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|n| n.as_str())
            .map(str::to_owned)
            .collect()
    }

    /// Waits until a script returns true.
    pub async fn wait_until(&self, what: &str, script: &str) {
        let end = Instant::now() + PATIENCE;
        while self.ask(script).await != json!(true) {
            assert!(Instant::now() < end, "waited in vain: {what}");
            sleep(Duration::from_millis(20)).await;
        }
    }

    /// Sets an input as typing or dragging would, and waits for the result. The
    /// page itself tells when it is there: asked again and again it would have
    /// less time for its work, which some tests measure.
    pub async fn set_input(&self, selector: &str, value: &str) {
        self.client
            .execute_async(
                "const [selector, value, done] = arguments;
                 const told = new MutationObserver(() => { told.disconnect(); done(); });
                 told.observe(document.body, { attributeFilter: ['data-updates'] });
                 const input = document.querySelector(selector);
                 input.value = value;
                 input.dispatchEvent(new Event('input', { bubbles: true }));",
                vec![json!(selector), json!(value)],
            )
            .await
            .unwrap_or_else(|error| panic!("{selector} = {value} has no result: {error}"));
    }

    /// How many results have been drawn since the page opened.
    pub async fn updates(&self) -> u64 {
        self.ask("return Number(document.body.dataset.updates || 0)").await.as_u64().unwrap_or(0)
    }

    /// Fails where the browser has written a warning or an error.
    pub async fn check_console(&self) {
        let log = self.client.issue_cmd(ReadConsole).await.expect("the console can be read");
        let messages = log.as_array().cloned().unwrap_or_default();
        assert!(messages.is_empty(), "the console holds: {messages:#?}");
    }

    /// Fails where the page is wider than its window.
    pub async fn check_width(&self) {
        let overflow = self
            .ask(
                "const room = document.documentElement.clientWidth;
                 return [...document.querySelectorAll('body, body *')]
                     .filter(e => e.getBoundingClientRect().right > room + 1
                         && e.checkVisibility() && !e.closest('svg'))
                     .map(e => e.tagName + '.' + e.className + ' ' + e.getBoundingClientRect().right);",
            )
            .await;
        assert_eq!(overflow, json!([]), "these stick out to the right");
        let scrolls = self
            .ask("return document.documentElement.scrollWidth > document.documentElement.clientWidth")
            .await;
        assert_eq!(scrolls, json!(false), "the page scrolls sideways");
    }

    /// Ends the browser; the driver follows.
    pub async fn close(self) {
        self.client.close().await.expect("the browser closes");
    }
}

/// What the gate hands over.
pub fn environment(name: &str) -> String {
    std::env::var(name).unwrap_or_else(|_| panic!("{name} is not set: run 'cargo xtask test'"))
}

/// A port that nobody uses now; the driver takes it a moment later.
fn free_port() -> u16 {
    let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("a free port");
    listener.local_addr().expect("its number").port()
}

fn capabilities(width: u32, height: u32, density: f64, profile: &TempDir) -> Value {
    let profile = format!("--user-data-dir={}", profile.path().display());
    let window = format!("--window-size={width},{height}");
    json!({
        "goog:loggingPrefs": { "browser": "WARNING" },
        "goog:chromeOptions": {
            "binary": environment("CHROME"),
            "args": [
                "--headless", "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-gpu-rasterization", "--disable-accelerated-2d-canvas", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                window, profile,
            ],
            "mobileEmulation": {
                "deviceMetrics": {
                    "width": width, "height": height, "pixelRatio": density,
                    "mobile": width < 600, "touch": width < 600,
                },
            },
        },
    })
}

async fn connect(port: u16, capabilities: Value) -> Client {
    let mut builder = ClientBuilder::new(hyper_util::client::legacy::connect::HttpConnector::new());
    builder.capabilities(capabilities.as_object().cloned().unwrap_or_default());
    let address = format!("http://127.0.0.1:{port}");
    let end = Instant::now() + PATIENCE;
    loop {
        match builder.connect(&address).await {
            Ok(client) => return client,
            Err(error) => assert!(Instant::now() < end, "no browser: {error}"),
        }
        sleep(Duration::from_millis(100)).await;
    }
}

/// Takes what the browser has written to its console so far.
#[derive(Debug)]
struct ReadConsole;

impl WebDriverCompatibleCommand for ReadConsole {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "type": "browser" }).to_string()))
    }
}

/// A command of the browser's own tools.
#[derive(Debug)]
struct Tools {
    command: &'static str,
    parameters: Value,
}

impl WebDriverCompatibleCommand for Tools {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, url::ParseError> {
        base.join(&format!("session/{}/goog/cdp/execute", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &Url) -> (http::Method, Option<String>) {
        let body = json!({ "cmd": self.command, "params": self.parameters });
        (http::Method::POST, Some(body.to_string()))
    }
}
