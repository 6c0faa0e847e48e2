// SPDX-License-Identifier: Apache-2.0
// Headless Chromium for tests of pages: runs a script in a page, or prints it. The page is a file;
// background connections of the browser are switched off.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "tests/support/run_command.hpp"
#include "tests/support/temp_folder.hpp"

namespace mastline::test {

struct Viewport {
    int width = 1500, height = 1000;
};

class Browser {
public:
    // What `script` (the body of a function) returns, as JSON. Errors of the page's own scripts
    // stand in "errors", requests that the page made in "requests".
    nlohmann::json run(const std::string& html, const std::string& script, Viewport viewport = {}) {
        static const std::string watch =
            "<script>window.errors = []; addEventListener('error', (e) => errors.push(e.message));"
            "addEventListener('securitypolicyviolation', (e) => errors.push(e.violatedDirective));"
            "</script>";
        const std::string ask =
            "<script>addEventListener('load', () => {\nlet result;\ntry { result = (() => {" +
            script +
            "})(); } catch (e) { errors.push(String(e)); }\n"
            "const requests = performance.getEntriesByType('resource').map((r) => r.name);\n"
            "const out = JSON.stringify({ result, errors, requests });\n"
            "document.documentElement.textContent = '@begin@' + "
            "btoa(unescape(encodeURIComponent(out))) + "
            "'@end@';});</script>";
        std::string page = html;
        page.insert(page.find("<head>") + 6, watch);
        page.insert(page.rfind("</body>"), ask);
        const std::string out = start("--dump-dom --window-size=" + std::to_string(viewport.width) +
                                          "," + std::to_string(viewport.height),
                                      page);
        const auto begin = out.find("@begin@"), end = out.find("@end@");
        if (begin == std::string::npos || end == std::string::npos)
            throw std::runtime_error("the browser gave no answer: " + out.substr(0, 2000));
        return nlohmann::json::parse(decoded(out.substr(begin + 7, end - begin - 7)));
    }

    // The page as a PDF file, in the folder of this browser.
    std::string print(const std::string& html) {
        const std::string pdf = folder_.file("page.pdf");
        start("--no-pdf-header-footer --print-to-pdf=" + pdf, html);
        return pdf;
    }

private:
    std::string start(const std::string& what, const std::string& page) {
        write_text(folder_.file("page.html"), page);
        const auto out = run_command(
            "timeout 100 chromium --headless --no-sandbox --disable-gpu --disable-quic "
            "--no-first-run "
            "--disable-background-networking --disable-component-update --disable-sync "
            "--user-data-dir=" +
            folder_.file("profile") + " " + what + " file://" + folder_.file("page.html") + " 2>" +
            folder_.file("stderr"));
        if (out.status != 0)
            throw std::runtime_error("chromium failed: " + read_text(folder_.file("stderr")));
        return out.output;
    }

    static std::string decoded(const std::string& base64) {
        static const std::string digits =
            "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
        std::string out;
        unsigned bits = 0, held = 0;
        for (const char c : base64) {
            const auto value = digits.find(c);
            if (value == std::string::npos) break;
            held = (held << 6) | static_cast<unsigned>(value);
            bits += 6;
            if (bits < 8) continue;
            bits -= 8;
            out += static_cast<char>((held >> bits) & 0xFF);
        }
        return out;
    }

    TempFolder folder_;
};

}  // namespace mastline::test
