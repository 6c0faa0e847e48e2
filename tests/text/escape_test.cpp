// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

TEST_CASE("a JSON document shows no control, and says what it said", "[unit]") {
    CHECK(guard_json("{\"a\": \"\u202Egnp\u2069\u0085\x7F\uFEFF\"}") == R"({"a": "\u202egnp\u2069\u0085\u007f\ufeff"})");
    CHECK(guard_json("{\n  \"t\u00e9l\u00e9\": \"\U0001F4FA\"\n}\n") == "{\n  \"t\u00e9l\u00e9\": \"\U0001F4FA\"\n}\n");
    CHECK(guard_json("") == "");
}

TEST_CASE("terminal escapes and line breaks from the air do not reach the terminal", "[input]") {
    CHECK(plain_line("News\x1b[31m red") == "News\uFFFD[31m red");
    CHECK(plain_line("a\nb\r\tc") == "a\uFFFDb\uFFFD\uFFFDc");
    CHECK(plain_line("\xc2\x9b" "31m") == "\uFFFD31m");  // C1 control sequence introducer
}

TEST_CASE("bidirectional controls are made visible", "[input]") {
    CHECK(plain_line("abc\u202Etxt") == "abc\uFFFDtxt");
    CHECK(plain_line("\u2066x\u2069") == "\uFFFDx\uFFFD");
    CHECK(plain_line("\uFEFFx") == "\uFFFDx");
}

TEST_CASE("bytes that are no UTF-8 are replaced one by one", "[input]") {
    CHECK(plain_line("\xff\xfe") == "\uFFFD\uFFFD");
    CHECK(plain_line("\xc0\xaf") == "\uFFFD\uFFFD");            // overlong slash
    CHECK(plain_line("\xed\xa0\x80") == "\uFFFD\uFFFD\uFFFD");  // surrogate
    CHECK(plain_line("\xe2\x82") == "\uFFFD\uFFFD");            // cut short
    CHECK(plain_line("K\u00f6ln \u20ac \U0001F4FA") == "K\u00f6ln \u20ac \U0001F4FA");
}

TEST_CASE("markup in a name is shown, not run", "[input]") {
    CHECK(escape_markup("<script>alert('x')</script> & \"q\"") ==
          "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;q&quot;");
}

TEST_CASE("a cell that starts like a formula is a text", "[input]") {
    CHECK(csv_field("=HYPERLINK(1)") == "'=HYPERLINK(1)");
    CHECK(csv_field("+1") == "'+1");
    CHECK(csv_field("  @SUM(A1)") == "'  @SUM(A1)");
    CHECK(csv_field("-2+3") == "'-2+3");
    CHECK(csv_field("News") == "News");
}

TEST_CASE("a field with separators or quotes is quoted as RFC 4180 says", "[outside]") {
    // RFC 4180 section 2, rules 5 to 7.
    CHECK(csv_field("a,b") == "\"a,b\"");
    CHECK(csv_field("say \"hi\"") == "\"say \"\"hi\"\"\"");
}

TEST_CASE("a TOML string escapes what TOML forbids", "[outside]") {
    // TOML 1.0, "String": quotation mark, backslash and control characters must be escaped.
    CHECK(toml_string("a\"b\\c") == "\"a\\\"b\\\\c\"");
    CHECK(toml_string("a\nb\x7f") == "\"a\\u000Ab\\u007F\"");
    CHECK(toml_string("K\u00f6ln") == "\"K\u00f6ln\"");
}
