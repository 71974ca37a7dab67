/** What is asked about the client and the firm: one name for each, wherever it is asked. */
export const CLIENT_NAMES = {
  name: "Who the floor is for",
  address: "Address of the floor",
  person: "Person who decides",
  email: "Email",
  phone: "Phone",
};
export const FIRM_NAMES = {
  name: "Name of your firm",
  person: "Person who signs",
  address: "Address of your firm",
  phone: "Phone",
  email: "Email",
  licence: "License number",
};
export const TITLE_NAME = "Name of this floor";
