//! A private value has no written form.

use daywork::model::Private;

fn main() {
    let phone = Private::new(String::from("07700 900118"));
    let _ = serde_json::to_string(&phone);
}
