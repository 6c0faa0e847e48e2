// SPDX-License-Identifier: Apache-2.0
// The one place of this program that brings in the page server's implementation.
#pragma once

#include <memory>

#include "mastline/web/http.hpp"

namespace mastline {

// Throws std::system_error: the address is taken, or not of this machine.
std::unique_ptr<HttpServer> serve_pages(HttpServerOptions options);

}  // namespace mastline
