// SPDX-License-Identifier: Apache-2.0
// Which bins receive which classes, decided class by class, largest first: a class is in one bin as a
// whole, or in parts in several. How many items make a part stays open, one at least.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

struct ReceivedClass {
    std::size_t number = 0;   // in the model
    int items = 0, guarded = 0;  // guarded: protected ones, which a loss must find room for elsewhere
    int least_bins = 0;       // that it takes
    std::size_t refuge = 0;   // the same for classes that ask for the same elsewhere after a loss; 0: for nothing
    std::vector<bool> allowed;  // [bin]
};

struct ReceivingBin {
    int licences = 0, tuners = 0;
    std::size_t kind = 0;   // bins of a kind differ in nothing but what is lost with them
    std::size_t loss = 0;   // loss groups are numbered from 0 here
    int held = 0;           // items of whole classes
    std::vector<std::size_t> whole, parts;  // classes, by their place in the order

    int room() const { return licences - held - static_cast<int>(parts.size()); }
    // A tuner without a licence left receives nothing.
    int free_tuners() const { return std::min(tuners - static_cast<int>(whole.size() + parts.size()), room()); }
};

class Reception {
public:
    // Of first copies alone. `by_count`: nothing counts but licences, tuners and the reserve, so that classes
    // of as many items may change places.
    Reception(const Model& model, const std::vector<std::size_t>& bins, bool by_count);

    const std::vector<ReceivedClass>& classes() const { return classes_; }
    const std::vector<ReceivingBin>& bins() const { return bins_; }
    std::size_t losses() const { return losses_; }
    std::size_t decided() const { return decided_; }

    bool takes_whole(std::size_t c, std::size_t b) const;
    bool takes_part(std::size_t c, std::size_t b) const;
    void put_whole(std::size_t c, std::size_t b);
    void take_whole(std::size_t c, std::size_t b);
    void put_part(std::size_t c, std::size_t b) { bins_[b].parts.push_back(c); }
    void take_part(std::size_t b) { bins_[b].parts.pop_back(); }
    void decide(bool is) { is ? ++decided_ : --decided_; }

    // The same for bins that can change places, with what is lost with them.
    std::string likeness(std::size_t b) const;
    // The same for receptions that are alike but for the names of bins (and classes, by count).
    std::string state() const;
    std::vector<std::vector<bool>> received() const;  // [class of the model][bin]

private:
    std::string content(std::size_t b) const;

    std::size_t classes_of_model_;
    bool by_count_;
    std::vector<ReceivedClass> classes_;
    std::vector<ReceivingBin> bins_;
    std::vector<std::vector<std::size_t>> lost_together_;  // [loss]: bins
    std::size_t losses_ = 0, decided_ = 0;
};

}  // namespace mastline::packing
