// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/cautions.hpp"

#include <string_view>

namespace mastline {

namespace {

std::string_view caution(Work work) {
    switch (work) {
        case Work::roof:
            return "<b>Roof.</b> Fall protection for everyone up there, never alone, not in wind, "
                   "wet or lightning. Bonding and surge protection by a licensed electrician under "
                   "the local code, before any cable enters the building.";
        case Work::power:
            return "<b>Power.</b> Isolate, lock off and prove dead before opening anything. "
                   "Mains work by a licensed electrician only.";
        case Work::fibre:
            return "<b>Fibre.</b> Never look into a fibre or a connector: the light cannot be "
                   "seen and can blind. Cap open ends; collect every offcut.";
        case Work::coax:
            return "<b>DC on coax.</b> Cables to feeds and powered parts carry DC. Switch the "
                   "supply off before making or breaking a connection; fit DC blocks where drawn.";
    }
    return "";
}

}  // namespace

std::string cautions(std::initializer_list<Work> works) {
    std::string out = "<aside class=\"cautions\" aria-label=\"Cautions\"><h3>Cautions</h3><ul>";
    for (const Work work : works) out += "<li>" + std::string(caution(work)) + "</li>";
    return out +
           "</ul><p>Local codes and licensed practice decide; these sheets replace neither.</p>"
           "</aside>\n";
}

}  // namespace mastline
