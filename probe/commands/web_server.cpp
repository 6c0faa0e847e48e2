// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/web_server.hpp"

#include "mastline/web/beast_server.hpp"

namespace mastline {

std::unique_ptr<HttpServer> serve_pages(HttpServerOptions options) { return start_http_server(std::move(options)); }

}  // namespace mastline
