//! Serves the built page on this machine only, for work and for tests.

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use axum::Router;
use axum::http::header::{self, HeaderName, HeaderValue};
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

/// What the page may load: its own files, and nothing else from anywhere.
///
/// WebAssembly needs a permission of its own to be compiled. Neither scripts
/// nor styles inside the page are allowed.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; font-src 'self'; img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'";

/// Headers sent with every file.
const HEADERS: [(HeaderName, &str); 5] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    // A page built anew is seen at once.
    (header::CACHE_CONTROL, "no-cache"),
];

/// A server that holds its port already.
pub struct Server {
    listener: TcpListener,
    address: SocketAddr,
    folder: PathBuf,
}

impl Server {
    /// Takes `port` on the loopback address, or any free one for 0.
    pub fn bind(folder: &Path, port: u16) -> Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).with_context(|| {
            format!("port {port} cannot be used; name another with --port (0 takes any free one)")
        })?;
        listener.set_nonblocking(true)?;
        let address = listener.local_addr()?;
        Ok(Self { listener, address, folder: folder.to_owned() })
    }

    /// The address to open in a browser.
    pub fn address(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Serves until the process ends.
    pub fn run(self) -> Result<()> {
        let mut app = Router::new().fallback_service(ServeDir::new(self.folder));
        for (name, value) in HEADERS {
            app = app
                .layer(SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value)));
        }
        tokio::runtime::Builder::new_current_thread().enable_io().enable_time().build()?.block_on(
            async {
                let listener = tokio::net::TcpListener::from_std(self.listener)?;
                axum::serve(listener, app).await
            },
        )?;
        Ok(())
    }
}
