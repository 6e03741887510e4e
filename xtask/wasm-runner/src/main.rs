//! The runner that `cargo test --target wasm32-unknown-unknown` is given by
//! `cargo xtask test`: the maintained one, linked in as a library so that its
//! version cannot differ from that of `wasm-bindgen`.

fn main() -> anyhow::Result<()> {
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(std::env::args_os())
}
