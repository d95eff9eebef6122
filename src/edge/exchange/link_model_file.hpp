#pragma once
// The inputs of the link model, from their data file.

#include <string>
#include <string_view>

#include "domain/applications/link_model_table.hpp"
#include "domain/problem/problem.hpp"

namespace strandbook {

/// `folder`/ieee-802.3-link-model/link-model.json, `folder` being that of the rules.
Result<LinkModelTable> read_link_models(const std::string& folder);
/// The text of such a file; `name` is what Places call it.
Result<LinkModelTable> read_link_model_text(std::string_view text, const std::string& name);

}  // namespace strandbook
